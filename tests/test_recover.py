import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import squarewright as sw

HERE = Path(__file__).parent
POND = HERE.parent / "examples" / "pond"
FIGURES = ["lily", "frog", "newt", "dragonfly", "bulrush", "kingfisher", "moorhen", "heron", "otter"]
LOSSLESS = ("native", "whole", "fraction", "linear", "squeezed", "lined", "on a ground", "framed")

spec = importlib.util.spec_from_file_location("copies", HERE / "copies.py")
copies = importlib.util.module_from_spec(spec)
sys.modules["copies"] = copies
spec.loader.exec_module(copies)


def figure(name):
    return np.array(sw.read_picture(POND / f"{name}.png"))


def scene(size, seed):
    """Give something like a photo: soft discs of all sizes, shaded and grainy."""
    rng = np.random.default_rng(seed)
    rows, columns = np.indices((size, size))
    picture = np.full((size, size, 3), 120.0) + np.add.outer(rows[:, 0] * 0.3, columns[0] * 0.1)[..., None]
    for _ in range(70):
        y, x = rng.uniform(0, size, 2)
        radius, softness = rng.uniform(3, size / 4), rng.uniform(1, 9)
        far = np.hypot(rows - y, (columns - x) * rng.uniform(0.6, 1.6)) - radius
        share = 1 / (1 + np.exp(np.clip(far / softness, -30, 30)))
        picture += share[..., None] * (rng.uniform(0, 255, 3) - picture) * rng.uniform(0.3, 0.9)
    return np.clip(picture + rng.normal(0, 3, picture.shape), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("family", copies.FAMILIES)
@pytest.mark.parametrize("name", FIGURES)
def test_the_cells_are_found_in_every_kind_of_copy(family, name):
    copy = copies.make(family, figure(name), seed=FIGURES.index(name))
    found = sw.recover(copy.picture, background="keep")
    assert copies.has_grid(copy, found), (found, copy.pitch, copy.offset)
    assert found.confidence >= 0.5
    if family in LOSSLESS:
        assert copies.colours_right(copy, found, 3) >= 0.99


@pytest.mark.parametrize("family", copies.FAMILIES)
def test_colours_come_out_near_the_truth(family):
    shares = []
    for seed, name in enumerate(FIGURES):
        copy = copies.make(family, figure(name), seed)
        shares.append(copies.colours_right(copy, sw.recover(copy.picture, background="keep"), 12))
    assert np.mean(shares) >= 0.95, shares


def test_a_photo_is_refused_and_sent_to_pixelate():
    for seed in range(6):
        found = sw.recover(scene(240, seed))
        assert found.confidence < 0.5
        assert any("pixelate" in warning for warning in found.warnings)
        with pytest.raises(sw.GridError, match="GRID-NONE"):
            sw.plan(scene(240, seed), panel=sw.Panel("12 in", "12 in"))


def test_kinds_are_named():
    kinds = {
        family: sw.recover(copies.make(family, figure("otter"), 3).picture).kind
        for family in ("native", "whole", "linear", "lined")
    }
    assert kinds == {"native": "native", "whole": "sharp", "linear": "smooth", "lined": "lined"}


def test_a_hint_keeps_to_the_cells_that_are_known():
    copy = copies.make("linear", figure("newt"), 1)
    rows, columns = copy.cells.shape[:2]
    for hint in ((columns, rows), copy.pitch[0]):
        found = sw.recover(copy.picture, background="keep", hint=hint)
        assert found.cell_colours.shape[:2] == (rows, columns)
    halved = sw.recover(figure("newt").repeat(8, 0).repeat(8, 1), background="keep", hint=4.0)
    assert halved.pitch_px == pytest.approx((4, 4), rel=0.09)


@pytest.mark.parametrize("hint", [(0, 4), (4, 600), 0.5, float("nan"), "40", (1, 2, 3)])
def test_a_hint_that_cannot_be_is_refused(hint):
    with pytest.raises(sw.ArgumentError, match=r"VALUE-BAD.*hint"):
        sw.recover(POND / "newt.png", hint=hint)


def test_a_region_is_read_alone_and_placed_in_the_whole():
    pixels = figure("frog").repeat(7, 0).repeat(7, 1)
    height, width = pixels.shape[:2]
    sheet = np.full((height + 80, width + 90, 4), 255, np.uint8)
    sheet[50 : 50 + height, 33 : 33 + width] = pixels
    sheet[:20, ::3] = (200, 30, 30, 255)
    found = sw.recover(sheet, background="keep", region=(33, 50, 33 + width, 50 + height))
    alone = sw.recover(pixels, background="keep")
    assert found.grid == alone.grid
    assert found.offset_px == (alone.offset_px[0] + 33, alone.offset_px[1] + 50)


def test_a_tilted_chart_is_brought_upright():
    pixels = copies.flattened(figure("kingfisher"), np.array([250, 250, 245]))
    rows, columns = pixels.shape[:2]
    large = Image.fromarray(pixels.repeat(12, 0).repeat(12, 1))
    wide, high = large.size
    corners = [(40.0, 30.0), (560.0, 62.0), (530.0, 610.0), (22.0, 560.0)]
    tilted = large.transform(
        (620, 660), Image.Transform.PERSPECTIVE, inverse(corners, wide, high), Image.Resampling.BICUBIC
    )
    found = sw.recover(
        np.array(tilted.convert("RGB")), background="keep", region=corners, hint=(columns, rows)
    )
    assert found.cell_colours.shape[:2] == (rows, columns)
    near = np.abs(found.cell_colours[..., :3].astype(int) - pixels[..., :3]).max(-1) <= 24
    assert near.mean() >= 0.95


def inverse(corners, wide, high):
    """Give Pillow's eight numbers for the map from the tilted picture to the upright one."""
    rows, values = [], []
    for (x, y), (u, v) in zip(corners, [(0, 0), (wide, 0), (wide, high), (0, high)], strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        values += [u, v]
    return np.linalg.solve(np.array(rows, float), np.array(values, float)).tolist()


@pytest.mark.parametrize(
    "region", [(5, 5, 5, 9), (0, 0, 9999, 9), "all", [(0, 0), (9, 9), (9, 0), (0, 9)], (0, 0, 9)]
)
def test_a_region_that_cannot_be_is_refused(region):
    with pytest.raises(sw.ArgumentError, match=r"VALUE-BAD.*region"):
        sw.recover(POND / "newt.png", region=region)


def test_above_64_colours_the_nearest_are_merged_with_a_warning():
    shades = np.zeros((12, 12, 4), np.uint8)
    shades[..., 3] = 255
    shades[..., 0], shades[..., 1] = np.indices((12, 12)) * 20
    found = sw.recover(shades.repeat(9, 0).repeat(9, 1), background="keep")
    assert found.cell_colours.shape == (12, 12, 4)
    assert len(found.grid.palette) == 64
    assert any("144 colours" in warning for warning in found.warnings)


def test_a_checkerboard_is_taken_as_see_through():
    copy = copies.make("on a checkerboard", figure("dragonfly"), 4)
    found = sw.recover(copy.picture)
    assert any("checkerboard" in warning for warning in found.warnings)
    assert (found.cell_colours[..., 3] == 0).any()


def test_a_big_picture_is_read_as_well_as_a_small_one():
    image = Image.fromarray(figure("moorhen"))
    columns, rows = image.size
    for scaler in (Image.Resampling.NEAREST, Image.Resampling.BILINEAR):
        found = sw.recover(np.array(image.resize((columns * 61 + 7, rows * 61), scaler)), background="keep")
        assert found.cell_colours.shape[0] <= rows
        assert found.pitch_px == pytest.approx(((columns * 61 + 7) / columns, 61), rel=0.01)


def test_the_same_picture_gives_the_same_answer_again():
    copy = copies.make("jpeg 75", figure("heron"), 2)
    first, second = (sw.recover(copy.picture) for _ in range(2))
    assert first == second


def test_the_lattice_is_drawn_over_the_picture():
    found = sw.recover(POND / "frog-x16-on-white.png")
    assert found._repr_png_() == found.to_png()
    drawn = sw.read_picture(found.to_png())
    assert 800 <= max(drawn.shape[:2]) <= 1600
    scale = drawn.shape[1] / sw.read_picture(POND / "frog-x16-on-white.png").shape[1]
    column = drawn[:, round(found.offset_px[0] * scale), :3]
    top = round(found.offset_px[1] * scale)
    assert set(column[top : top + 100].ravel().tolist()) <= {0, 255}
