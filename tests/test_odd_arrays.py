"""Arrays of every kind at every argument that takes one: used as what they hold, or refused by its name.

Kinds, shapes and layouts come from hypothesis; what numpy allows is what may be met.
"""

import warnings

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

import measured
import squarewright as sw

PICTURE = np.random.default_rng(5).integers(0, 255, (12, 16, 3), np.uint8)
GRID = sw.Grid([[0, 1], [1, -1]], ["#b3202b", "#2b3a93"])
PANEL = sw.Panel("12 in", "12 in")
STOCK = sw.Stock([sw.Paint("red", "#b3202b"), sw.Paint("white", "#fff")])

KINDS = [
    *("u1", "i1", "<u2", ">u2", "<i2", ">i4", "<i8", ">i8", "<f2", ">f4", "<f8", ">f8", "<c8", "?"),
    *("S3", "<U2", "V4", "<M8[s]", "<m8[s]"),
    np.dtype([("red", "u1"), ("green", "u1")]),
    np.dtype(object),
]

SHAPES = st.one_of(
    hnp.array_shapes(min_dims=0, max_dims=4, min_side=0, max_side=5),
    st.sampled_from([(12, 16), (12, 16, 3), (12, 16, 4), (2, 3), (1, 3), (0, 3), (4,), (3,), (2,), (0,)]),
)


class Ours(np.ndarray):
    """A subclass as libraries have them."""


LAYOUTS = {
    "as it is": lambda array: array,
    "Fortran order": np.asfortranarray,
    "turned round": lambda array: array[(slice(None, None, -1),) * array.ndim],
    "transposed twice": lambda array: np.ascontiguousarray(array.T).T,
    "every other": lambda array: _spread(array),
    "a subclass": lambda array: array.view(Ours),
    "masked nowhere": lambda array: np.ma.masked_array(array),
}


def _spread(array: np.ndarray) -> np.ndarray:
    if array.ndim == 0:
        return array
    wide = np.repeat(array, 2, axis=-1)
    return wide[..., ::2]


@st.composite
def arrays(draw: st.DrawFn) -> np.ndarray:
    """Draw an array of any kind, shape and layout, read-only or not, with values masked or not."""
    kind, shape = np.dtype(draw(st.sampled_from(KINDS))), draw(SHAPES)
    if kind.hasobject:
        values = st.sampled_from([None, "#fff", 3, -1, 2.5, (), [1], "", object(), 10**30, float("nan")])
        array = draw(hnp.arrays(kind, shape, elements=values))
    else:
        array = np.frombuffer(np.random.default_rng(draw(st.integers(0, 9))).bytes(8 * 4096), "u1")
        size = int(np.prod(shape)) * kind.itemsize
        array = array[:size].view(kind).reshape(shape).copy() if size else np.zeros(shape, kind)
    if draw(st.booleans()):
        array = array.astype(kind)
        array.flags.writeable = False
    array = LAYOUTS[draw(st.sampled_from(sorted(LAYOUTS)))](array)
    if draw(st.integers(0, 5)) == 0 and kind.names is None:
        return np.ma.masked_array(np.asarray(array), mask=np.ones(array.shape, bool))
    return array


def plan(picture):
    return sw.plan(picture, panel=PANEL)


TAKERS = {
    "read_picture": (sw.read_picture, "picture|PIC-"),
    "recover": (sw.recover, "picture|PIC-|GRID-NONE"),
    "pixelate": (lambda array: sw.pixelate(array, columns=3), "picture|PIC-"),
    "plan": (plan, "picture|PIC-|GRID-NONE|GRID-UNSURE|SIZE-FIT"),
    "figure": (lambda array: sw.pixelate(PICTURE, columns=3, figure=array), "figure|mask"),
    "crop": (lambda array: sw.pixelate(PICTURE, columns=3, crop=array), "crop"),
    "region": (lambda array: sw.recover(PICTURE, region=array), "region"),
    "hint": (lambda array: sw.recover(PICTURE, hint=array), "hint|GRID-NONE"),
    "background": (lambda array: sw.recover(PICTURE, background=array), "colour|GRID-NONE"),
    "cells": (lambda array: sw.Grid(array, ["#fff", "#000", "#f00"]), "cell|rows"),
    "palette": (lambda array: sw.Grid([[0]], array), "colour|palette"),
    "palette to use": (lambda array: sw.pixelate(PICTURE, columns=3, palette=array), "colour|palette"),
    "candidates": (lambda array: sw.pixelate(PICTURE, columns=3, candidates=array), "colour|candidates"),
    "colours to buy for": (lambda array: sw.buy(array, STOCK), "colour"),
    "colour of a mixture": (lambda array: sw.mix(array, STOCK), "colour"),
    "raw": (lambda array: sw.plan(GRID, panel=PANEL, raw=array), "raw|colour"),
    "columns": (lambda array: sw.pixelate(PICTURE, columns=array), "columns|PIC-TOO-SMALL"),
    "calm": (lambda array: sw.pixelate(PICTURE, columns=3, calm=array), "calm"),
    "seed": (lambda array: sw.pixelate(PICTURE, columns=3, seed=array), "seed"),
}
"""What takes an array, and the words of which one names the argument in every refusal."""


@pytest.mark.parametrize("name", TAKERS)
@settings(max_examples=150, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(array=arrays())
def test_any_array_is_used_or_refused_by_name(name, array):
    take, words = TAKERS[name]
    with warnings.catch_warnings():
        # what numpy itself says of values on their way, such as a masked one
        warnings.simplefilter("ignore")
        try:
            take(array)
        except (ValueError, TypeError) as error:
            assert not isinstance(error, sw.InternalError)
            assert any(word in str(error) for word in words.split("|")), repr(error)
            assert len(str(error)) < 600, "an array is cut short where it is shown"


def laid_out() -> list[tuple[str, np.ndarray, np.ndarray]]:
    """Give each layout of pixels with what it shows."""
    pixels = {3: PICTURE, 4: np.dstack([PICTURE, PICTURE[..., 0]])}
    return [
        (f"{name}, {channels} channels", lay(pixels[channels]), np.asarray(lay(pixels[channels])))
        for name, lay in LAYOUTS.items()
        for channels in (3, 4)
    ]


@pytest.mark.parametrize(
    ("name", "array", "wanted"), laid_out(), ids=lambda value: value if type(value) is str else ""
)
def test_every_layout_shows_what_it_holds(name, array, wanted):
    found = sw.read_picture(array)
    channels = wanted.shape[2]
    assert np.array_equal(found[..., :channels], wanted)
    assert channels == 4 or (found[..., 3] == 255).all()


@pytest.mark.parametrize("kind", ["u1", "i1", ">i2", "<i4", ">i8", "?", object])
def test_whole_numbers_of_any_kind_and_order_are_cells(kind):
    cells = np.array([[0, 1, 0], [1, 0, 1]]).astype(kind)
    wanted = sw.Grid([[0, 1, 0], [1, 0, 1]], ["#000", "#fff"])
    for lay in LAYOUTS.values():
        array = lay(cells)
        assert sw.Grid(array, ["#000", "#fff"]) == sw.Grid(np.asarray(array).tolist(), ["#000", "#fff"])
    assert (
        sw.Grid(cells, np.array([[0, 0, 0], [255, 255, 255]], kind if kind not in ("i1", "?") else "u1"))
        == wanted
    )


HUGE = """
import resource, sys
resource.setrlimit(resource.RLIMIT_DATA, (1 << 30, 1 << 30))
import numpy as np
import squarewright as sw
held = np.random.default_rng(5).integers(0, 255, (12, 16, 3), np.uint8)
def views(value, *shape): return np.broadcast_to(value, shape)
try: {work}
except sw.SquarewrightError as error: print(error.code, len(str(error)) < 600)
"""

MANY = 1 << 31

VIEWS = {
    "a picture of three channels": ("sw.read_picture(views(np.uint8(0), 40000, 40000, 3))", "PIC-TOO-BIG"),
    "a picture of four channels": ("sw.read_picture(views(np.uint8(0), 40000, 40000, 4))", "PIC-TOO-BIG"),
    "a row": (f"sw.recover(views(np.uint8(0), 1, {MANY}, 3))", "PIC-TOO-BIG"),
    "a row longer than 32 bits": (f"sw.recover(views(np.uint8(0), {MANY * 4}, 1, 3))", "PIC-TOO-BIG"),
    "fractions": ("sw.recover(views(0.5, 40000, 40000, 3))", "PIC-PIXELS"),
    "a mask": ("sw.pixelate(held, columns=4, figure=views(np.uint8(0), 40000, 40000))", "VALUE-BAD"),
    "a mask of truths": ("sw.pixelate(held, columns=4, figure=views(True, 40000, 40000))", "VALUE-BAD"),
    "cells": ("sw.Grid(views(np.int16(0), 40000, 40000), ['#fff'])", "GRID-BAD"),
    "two rows of cells": (f"sw.Grid(views(np.int16(0), 2, {MANY}), ['#fff'])", "GRID-BAD"),
    "one row too many": ("sw.Grid(views(np.int16(0), 513, 1), ['#fff'])", "GRID-BAD"),
    "cells without an end": ("sw.Grid(([0] for _ in iter(int, 1)), ['#fff'])", "GRID-BAD"),
    "a row without an end": ("sw.Grid([(0 for _ in iter(int, 1))], ['#fff'])", "GRID-BAD"),
    "a palette": (f"sw.Grid([[0]], views(np.uint8(0), {MANY}, 3))", "VALUE-BAD"),
    "candidates": (f"sw.pixelate(held, columns=4, candidates=views(np.uint8(0), {MANY}, 3))", "VALUE-BAD"),
    "a colour": (f"sw.recover(held, background=views(np.uint8(0), {MANY}))", "COLOUR-BAD"),
    "a region": (f"sw.recover(held, region=views(np.uint8(0), {MANY}))", "VALUE-BAD"),
    "a hint": (f"sw.recover(held, hint=views(np.uint8(0), {MANY}))", "VALUE-BAD"),
    "a hint out of all measure": ("sw.recover(held, hint=1e300)", "VALUE-BAD"),
    "a crop": (f"sw.pixelate(held, columns=4, crop=views(np.uint8(0), {MANY}))", "VALUE-BAD"),
}
"""Arrays that view one number again and again: larger than any memory, and made in none."""


@pytest.mark.parametrize("case", VIEWS)
def test_an_array_larger_than_the_memory_is_refused_at_once(case, tmp_path):
    work, code = VIEWS[case]
    answer = measured.python("-c", HUGE.format(work=work), folder=tmp_path)
    answer.check_limits()
    assert (answer.status, answer.out) == (0, f"{code} True\n"), answer.err


@pytest.mark.parametrize("masked", [np.zeros((12, 16, 3), bool), np.ones((12, 16, 3), bool)])
def test_masked_pixels_are_refused_and_a_mask_of_none_is_not(masked):
    array = np.ma.masked_array(PICTURE, mask=masked)
    if masked.any():
        with pytest.raises(sw.PictureError, match=r"PIC-PIXELS.*masked.*filled"):
            sw.read_picture(array)
    else:
        assert np.array_equal(sw.read_picture(array)[..., :3], PICTURE)


def test_masked_cells_and_masks_are_refused():
    with pytest.raises(sw.GridError, match="GRID-BAD"):
        sw.Grid(np.ma.masked_equal([[0, 1]], 1), ["#fff", "#000"])
    with pytest.raises(sw.ArgumentError, match=r"VALUE-BAD: figure"):
        sw.pixelate(PICTURE, columns=4, figure=np.ma.masked_equal(np.ones((12, 16), np.uint8), 1))
