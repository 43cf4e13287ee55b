"""The same questions put to general solvers: OR-Tools and HiGHS."""

from collections.abc import Mapping, Sequence

import numpy as np
from ortools.sat.python import cp_model
from scipy.optimize import Bounds, LinearConstraint, milp


def fewest_panels(boxes: Sequence[tuple[int, int]], side: int) -> int:
    """Find the fewest squares of a side that hold all boxes, which may turn, with CP-SAT."""
    for count in range(1, len(boxes) + 1):
        model = cp_model.CpModel()
        across, down = [], []
        for place, (wide, high) in enumerate(boxes):
            turned = model.new_bool_var(f"turned {place}")
            width, height = wide + (high - wide) * turned, high + (wide - high) * turned
            panel = model.new_int_var(0, min(place, count - 1), f"panel {place}")
            x, y = (model.new_int_var(0, side, f"{axis} {place}") for axis in "xy")
            left, right = (model.new_int_var(0, side * count, f"{end} {place}") for end in "lr")
            bottom = model.new_int_var(0, side, f"bottom {place}")
            model.add(x + width <= side)
            model.add(left == x + side * panel)
            across.append(model.new_interval_var(left, width, right, f"across {place}"))
            down.append(model.new_interval_var(y, height, bottom, f"down {place}"))
        model.add_no_overlap_2d(across, down)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        if solver.solve(model) == cp_model.OPTIMAL:
            return count
    raise AssertionError("every box fits by itself")


def minimal(ways: list[list[dict]]) -> list[list[dict]]:
    """Leave out sets that hold another: they cost no less."""
    return [
        [way for way in found if not any(set(other["parts"]) < set(way["parts"]) for other in found)]
        for found in ways
    ]


def cheapest_paints(ways: list[list[dict]], costs: Mapping[str, int]) -> int:
    """Find with HiGHS what the cheapest paints cost that hold one of its sets for each colour."""
    names = list(costs)
    sets = [(colour, frozenset(way["parts"])) for colour, found in enumerate(ways) for way in found]
    count = len(names) + len(sets)
    rows, low = [], []
    for colour, found in enumerate(ways):
        if found:
            row = np.zeros(count)
            row[[len(names) + at for at, (own, _) in enumerate(sets) if own == colour]] = 1
            rows.append(row)
            low.append(1)
    for at, (_, paints) in enumerate(sets):
        for paint in paints:
            row = np.zeros(count)
            row[len(names) + at], row[names.index(paint)] = -1, 1
            rows.append(row)
            low.append(0)
    price = np.array([*costs.values(), *[0] * len(sets)], dtype=float)
    solved = milp(
        price,
        constraints=LinearConstraint(np.array(rows), lb=low),
        integrality=np.ones(count),
        bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0},
    )
    assert solved.status == 0
    return round(solved.fun)
