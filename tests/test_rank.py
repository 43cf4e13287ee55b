"""Ranking several pictures: order, reasons, and one bad picture among good ones."""

import json
import pickle
from pathlib import Path

import numpy as np
import pytest

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"
FOOT = sw.Panel("12 in", "12 in")


def figure(colours):
    cells = np.arange(64).reshape(8, 8) % colours
    return sw.Grid(cells, ["#204060", "#a03020", "#30a040", "#d0c020"][:colours])


def test_fewer_hours_and_colours_come_first():
    found = sw.rank([figure(4), figure(1), figure(2)], panel=FOOT, by=("hours", "colours"))
    assert [each.name for each in found] == ["picture 2", "picture 3", "picture 1"]
    assert [each.place for each in found] == [1, 2, 3]
    assert [each.points for each in found] == [2, 4, 6]
    assert found[0].reasons[1] == "1 colour, the least of all"
    assert found[2].reasons[1] == "4 colours, 3 more than the least"


def test_equal_pictures_share_a_place():
    found = sw.rank([figure(2), figure(2)], panel=FOOT)
    assert [(each.place, each.points) for each in found] == [(1, 4), (1, 4)]


def test_reasons_are_those_of_the_plans():
    paths = [POND / f"{name}.png" for name in ("heron", "frog", "newt")]
    found = sw.rank(paths, panel=FOOT)
    assert sorted(each.name for each in found) == ["frog", "heron", "newt"]
    for each in found:
        plan = sw.plan(POND / f"{each.name}.png", panel=FOOT)
        assert each.plan == plan
        low, high = plan.hours["work"]
        assert each.reasons[0].startswith(f"{low:.0f}–{high:.0f} hours")
        assert each.reasons[1].startswith(f"{len(plan.colours)} colours")
        assert each.reasons[2].startswith("1 panel")
        severe = plan.summary["severe_spots"]
        assert each.reasons[3].startswith(
            f"{severe} spots" if severe > 1 else "1 spot" if severe else "nothing"
        )
    assert found[0].points <= found[1].points <= found[2].points


def test_one_bad_picture_does_not_stop_the_others(tmp_path):
    bad = tmp_path / "lily\n.png"
    bad.write_bytes(b"frog")
    found = sw.rank([bad, tmp_path / "none.png", POND / "frog.png"], panel=FOOT)
    assert [each.place for each in found] == [1, None, None]
    assert found[1].error.code == "PIC-NOT-PICTURE" and found[2].error.code.startswith("PATH-")
    assert "PIC-NOT-PICTURE" in str(found) and "\n.png" not in str(found)
    assert json.loads(json.dumps(found.rows)) == found.rows
    assert pickle.loads(pickle.dumps(found)).rows == found.rows
    assert repr(found) == "Ranking(3 pictures, 'frog' is the easiest, 2 cannot be planned)"


@pytest.mark.parametrize(
    "bad", [{"candidates": []}, {"candidates": "heron.png"}, {"by": ("beauty",)}, {"by": ()}]
)
def test_what_cannot_be_ranked_is_refused(bad):
    asked = {"candidates": [figure(2)], **bad}
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.rank(asked.pop("candidates"), panel=FOOT, **asked)


def test_threads_change_nothing():
    paths = [POND / f"{name}.png" for name in ("heron", "frog", "newt")]
    assert sw.rank(paths, panel=FOOT, threads=1) == sw.rank(paths, panel=FOOT, threads=3)
