"""Progress of a wall: after any steps and coats what remains, what is to buy and when to paint stay right."""

import dataclasses
import json
import math
import pickle

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_wall import FIGURES, POND, wall
from test_wall_book import pages

import squarewright as sw

OFF_BOARD = {"gather", "check print", "mix", "choose", "cut card"}
"""Steps for which no board is touched."""


def rounds(planned):
    """Give every step of every copy."""
    return [(step["figure"], step["copy"], step["step"]) for step in sw.Progress().remaining(planned)]


def coats_of(days):
    """Give every coat of every copy, in the words of a progress file, with its minutes."""
    found = {}
    for day in days:
        for opening in day["openings"]:
            for work in opening["work"]:
                word = f"{work['set']} {work['coat']} {opening['hex'] or ''}".strip()
                key = (work["figure"], work["copy"], word)
                assert key not in found
                found[key] = work["minutes"]
    return found


def after(steps):
    progress = sw.Progress()
    for figure, copy, step in steps:
        progress = progress.with_done(figure, step, copy=copy)
    return progress


def asked():
    """Ask for copies, a figure on two boards, a whole square and an owned board."""
    figures = [
        sw.WallFigure(POND / "frog.png", copies=2, settings={"pitch": "1/4 in"}),
        sw.WallFigure(POND / "lily.png", settings={"pitch": "1/4 in"}),
        sw.WallFigure(POND / "otter.png", settings={"across": 2, "pitch": "3/16 in"}),
        sw.WallFigure(POND / "newt.png", settings={"ending": "whole square", "ground": "#203050"}),
    ]
    return dataclasses.replace(wall(), figures=figures, pack=sw.Pack(price=10, owned=1))


@pytest.fixture(scope="module")
def few():
    return asked().plan()


def test_nothing_done_leaves_all_and_all_done_leaves_nothing(few):
    begun = sw.Progress()
    assert begun.hours(few) == pytest.approx(few.hours["work"], rel=1e-12)
    assert (begun.buying(few), begun.days(few), few.after(begun)) == (few.buying, few.days, few)
    for done in (after(rounds(few)), after(coats_of(few.days))):
        assert done.days(few) == []
    done = after(rounds(few))
    assert done.remaining(few) == [] and done.hours(few) == (0, 0)
    left = done.buying(few)
    assert (left["panels"]["needed"], left["panels"]["packs"], left["total"]) == (0, 0, 0)
    assert not any(paint["poured_ml"] or paint["to_buy"] for paint in left["paints"])
    assert not any(value for key, value in left.items() if key not in {"panels", "paints", "currency"})
    # All coats are all of the painting, and of nothing else.
    painted = {each for each in rounds(few) if each[2] != "paint"}
    assert set(rounds_after(few, after(coats_of(few.days)))) == painted


def rounds_after(planned, progress):
    return [(step["figure"], step["copy"], step["step"]) for step in progress.remaining(planned)]


def needed_panels(planned, words):
    """Count boards that nothing on them was done to, by hand."""
    touched = {(name, copy) for name, copy, word in words if word not in OFF_BOARD}
    shared = planned.panels["shared"]
    count = 0
    for panel in planned.nesting.panels:
        count += not any(shared[nested.index][:2] in touched for nested in panel.figures)
    for name, boards in planned.panels["own"].items():
        copies = planned.copies[name]
        count += sum(boards // copies for copy in range(copies) if (name, copy + 1) not in touched)
    return count


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_what_remains_is_right_after_any_steps_and_coats(few, data):
    steps, coats = rounds(few), coats_of(few.days)
    share = data.draw(st.sampled_from([0.05, 0.3, 0.7, 0.95]))
    random = np.random.default_rng(data.draw(st.integers(0, 2**32 - 1)))
    done = {each for each in (*steps, *coats) if random.random() < share}
    progress = after(sorted(done))
    assert progress == after(sorted(done, reverse=True))
    said = {(name, copy) for name, copy, word in done if word == "paint"}
    open_coats = {key: minutes for key, minutes in coats.items() if key not in done and key[:2] not in said}

    # Of steps: all that are not done; a painting is done with its last coat.
    painting = {key[:2] for key in open_coats}
    left = progress.remaining(few)
    assert [(step["figure"], step["copy"], step["step"]) for step in left] == [
        each for each in steps if each not in done and (each[2] != "paint" or each[:2] in painting)
    ]
    whole = {(step["figure"], step["copy"], step["step"]): step for step in sw.Progress().remaining(few)}
    for step in left:
        key = (step["figure"], step["copy"], step["step"])
        part = 1.0
        if step["step"] == "paint":
            minutes = [
                sum(each[key] for key in each if key[:2] == (step["figure"], step["copy"]))
                for each in (open_coats, coats)
            ]
            part = minutes[0] / minutes[1]
        expected = [part * minutes for minutes in whole[key]["work_minutes"]]
        assert step["work_minutes"] == pytest.approx(expected, rel=1e-9)
    hours = [sum(step["work_minutes"][end] for step in left) / 60 for end in (0, 1)]
    assert progress.hours(few) == pytest.approx(hours, rel=1e-9)

    # Of days: each coat that is not on, once.
    assert coats_of(progress.days(few)) == pytest.approx(open_coats)
    check_buying(few, progress.buying(few), done, {key for key in steps if key not in done}, open_coats)


def check_buying(few, buying, done, open_steps, open_coats):
    plans = few.figures

    def total(step, of):
        return sum(of(plans[name]) for name, _, each in open_steps if each == step)

    def near(value):
        return pytest.approx(value, rel=1e-9, abs=1e-9)

    assert buying["primer_ml"] == near(total("prime", lambda plan: plan.layers["primer"]["ml"]))
    assert buying["varnish_ml"] == near(total("hang", lambda plan: plan.layers["varnish"]["ml"]))
    assert buying["glue_ml"] == near(
        total("glue", lambda plan: plan.backing["glue_ml"][2] if plan.backing else 0)
    )
    assert sum(count for _, count in buying["fixings"]) == total("hang", lambda plan: plan.hanging["fixings"])
    under = sum(
        plans[name].layers["undercoat"]["ml"] for name, _, word in open_coats if word == "undercoat 1"
    )
    assert buying["undercoat_ml"] == near(under)
    # A jar is mixed when it was said so of any figure that has it, or when any of it is on a board.
    mixed = set()
    for name, _, word in done:
        codes = [jar["hex"] for jar in plans[name].jars]
        mixed.update(codes if word in {"mix", "paint"} else [code for code in codes if word.endswith(code)])
    open_jars = [jar for jar in few.jars if jar["hex"] not in mixed]
    assert buying["jars"] == len(open_jars)
    poured = sum(jar["batch_ml"] for jar in open_jars)
    assert sum(paint["poured_ml"] for paint in buying["paints"]) == near(poured + under)
    for paint, before in zip(buying["paints"], few.buying["paints"], strict=True):
        missing = (paint["poured_ml"] - paint["at_hand_ml"]) / paint["bottle_ml"] - 1e-3
        assert paint["to_buy"] == max(0, math.ceil(missing)) <= before["to_buy"]
    panels = buying["panels"]
    assert panels["needed"] == needed_panels(few, done)
    assert panels["packs"] == -(-max(0, panels["needed"] - 1) // 4)
    # Sheets as the list of the whole wall has them: no more than a sheet for each card, and room for all.
    backed = [(name, copy) for name, copy, step in open_steps if step == "cut card"]
    sheets = sum(count for _, _, count in buying["cards"])
    area = sum(plans[name].backing["area_cm2"] for name, _ in backed)
    width, height, _ = few.buying["cards"][0]
    least = 100 * area / float(width.mm) / float(height.mm)
    assert least <= sheets <= sum(plans[name].backing["sheets"] for name, _ in backed)
    assert buying["total"] == sum(paint["cost"] or 0 for paint in buying["paints"]) + panels["cost"]


def test_the_wall_can_be_painted_day_by_day(few):
    progress, hours = sw.Progress(), [few.hours["work"][0]]
    before = coats_of(few.days)
    for _ in range(len(few.days) + 2):
        days = progress.days(few)
        if not days:
            break
        # The first day as it was planned: what was planned for later is planned again.
        progress = progress.with_day(days[0])
        left = coats_of(progress.days(few))
        assert left == {key: minutes for key, minutes in before.items() if key not in coats_of(days[:1])}
        before = left
        hours.append(progress.hours(few)[0])
    assert before == {}
    assert hours == sorted(hours, reverse=True)
    assert {step["step"] for step in progress.remaining(few)}.isdisjoint({"paint"})


def test_what_is_done_stays_done_when_a_figure_changes(few):
    progress = sw.Progress().with_done("frog", "mark", copy=1).with_done("lily", "gather", "prime")
    progress = progress.with_done("newt", "inside 2 #123456")
    other = [
        sw.WallFigure(POND / "frog.png", copies=3, settings={"pitch": "1/4 in"}),
        sw.WallFigure(POND / "heron.png", name="lily"),
        sw.WallFigure(POND / "dragonfly.png"),
    ]
    again = dataclasses.replace(wall(), figures=other).plan()
    done = set(rounds(again)) - set(rounds_after(again, progress))
    marks = {step["step"] for step in again.figures["frog"].hours["steps"] if step["stage"] == "mark"}
    assert done == {("frog", 1, step) for step in marks} | {("lily", 1, "gather"), ("lily", 1, "prime")}


def test_the_book_and_the_file_of_a_wall_that_was_begun_are_those_of_the_rest(few, tmp_path):
    days = few.days
    progress = sw.Progress().with_done("lily", *(step for _, _, step in rounds(few))).with_day(days[0])
    rest = few.after(progress)
    assert rest.progress == progress and pickle.loads(pickle.dumps(rest)) == rest
    assert sw.WallPlan.from_json(rest.to_json()) == rest != few
    text = "\n".join(pages(rest.to_pdf()))
    assert "What is left to do" in text and "What is left to do" not in "\n".join(pages(few.to_pdf()))
    (left,) = (page for page in pages(rest.to_pdf()) if page.startswith("What is left to do"))
    assert "frog 1" in left and "otter" in left and "lily" not in left
    progress.write(tmp_path / "done.json")
    (tmp_path / "frog.png").write_bytes((POND / "frog.png").read_bytes())
    place = tmp_path / "pond.toml"
    place.write_text(
        'panel = "12in x 12in"\n[wall]\ndone = "done.json"\n[[figure]]\npicture = "frog.png"\ncopies = 2\n'
    )
    read = sw.read_wall(place)
    assert read.done == progress
    assert read.plan() == dataclasses.replace(read, done=None).plan().after(progress)


def test_a_bad_progress_file_is_refused(tmp_path, few):
    place = tmp_path / "pond.json"
    for text, code in (
        ("", "CONFIG-TYPE"),
        ("[]", "CONFIG-TYPE"),
        ("[" * 100_000, "CONFIG-TYPE"),
        ('{"schema_version": 1}', "CONFIG-TYPE"),
        ('{"schema_version": 1, "done": {"frog": 3}}', "CONFIG-TYPE"),
        ('{"schema_version": 1, "done": {"frog": [[3]]}}', "CONFIG-TYPE"),
        ('{"schema_version": 1, "done": {"\\ud800": [["mark"]]}}', "CONFIG-TYPE"),
        ('{"schema_version": true, "done": {}}', "CONFIG-TYPE"),
        ('{"schema_version": 0, "done": {}}', "CONFIG-TYPE"),
        ('{"schema_version": 2, "done": {}}', "PROJECT-NEWER"),
        (" " * ((1 << 20) + 1), "CONFIG-TOO-BIG"),
    ):
        place.write_text(text)
        with pytest.raises(sw.SquarewrightError) as caught:
            sw.read_progress(place)
        assert caught.value.code == code, text[:60]
    with pytest.raises(sw.SquarewrightError, match="PATH-MISSING"):
        sw.read_progress(tmp_path / "none.json")
    for word in ("fly", "inside two #123456", "inside 1", "outline 1 blue", "undercoat 1 #ffffff", ""):
        with pytest.raises(sw.ArgumentError, match="progress must be steps"):
            sw.Progress().with_done("frog", word).remaining(few)
    place.write_text("{}")
    with pytest.raises(sw.OutputError, match="OUT-EXISTS"):
        sw.Progress().write(place)
    written = sw.Progress().with_done("frog", "mark").write(tmp_path / "new.json")
    assert json.loads(written.read_text())["done"] == {"frog": [["mark"]]}
    assert sw.read_progress(written) == sw.Progress({"frog": [["mark"]]})


def test_drying_time_has_other_work(few):
    """Every minute of it is that of a step that can be done then, and none is done twice."""
    one = wall(*FIGURES[:2], hours=6).plan()
    for planned in (few, one, few.after(sw.Progress().with_done("frog", "cut card"))):
        middle = {
            (step["figure"], step["copy"], step["step"]): sum(step["work_minutes"]) / 2
            for step in planned.remaining
        }
        coats, on = coats_of(planned.days), set()
        worked, ended = {}, set()
        gaps = 0
        for day in planned.days:
            for opening in day["openings"]:
                spent = sum(work["minutes"] for work in opening["meanwhile"])
                assert spent <= opening["gap_minutes"] + 1e-9
                gaps += opening["gap_minutes"] >= 5 and bool(opening["meanwhile"])
                for work in opening["meanwhile"]:
                    copy = (work["figure"], work["copy"])
                    key = (*copy, work["step"])
                    assert key not in ended and key in middle
                    worked[key] = worked.get(key, 0) + work["minutes"]
                    assert worked[key] <= middle[key] + 1e-9
                    if work["ends"]:
                        ended.add(key)
                        assert worked[key] == pytest.approx(middle[key])
                    if work["step"] != "cut card":
                        # All of its coats are on; for a knife also those of all that lie on its board.
                        mates = {copy} if work["step"] == "clean up" else board(planned, copy)
                        assert all(each in on for each in coats if each[:2] in mates)
                        steps = [step for name, number, step in middle if (name, number) == copy]
                        before = steps[: steps.index(work["step"])]
                        dry = {"paint", "paint dries", "glue dries", "cut card"}
                        later = [step for step in before[before.index("paint") :] if step not in dry]
                        assert all((*copy, step) in ended for step in later), key
                on.update(coats_of([{"openings": [opening]}]))
        assert gaps > 0


def board(planned, copy):
    shared = planned.panels["shared"]
    mates = {copy}
    for panel in planned.nesting.panels:
        lying = {shared[nested.index][:2] for nested in panel.figures}
        mates |= lying if copy in lying else set()
    return mates
