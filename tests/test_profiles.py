"""Colour profiles: a picture in another colour space is shown in sRGB.

Profiles after ICC.1:2022; Display P3 after CSS Color Module Level 4, section 10.5.
"""

import io
import warnings
from pathlib import Path

import difference
import numpy as np
import pytest
from PIL import Image, ImageCms

import measured
import squarewright as sw
from made import figure, png, profile

PAIRS = Path(__file__).parent.parent / "rust" / "squarewright" / "tests" / "reference" / "ciede2000_pairs.csv"

P3 = profile.matrix_profile(profile.DISPLAY_P3)

PATCHES = np.array(
    [
        [0, 0, 0],
        [255, 255, 255],
        [128, 128, 128],
        [153, 102, 77],
        [90, 140, 80],
        [70, 90, 150],
        [200, 180, 60],
    ],
    np.uint8,
)
"""Values in Display P3, all of colours that sRGB can show."""


def shown_in_p3(pixels: np.ndarray) -> np.ndarray:
    """Give CIELAB of values in Display P3, whose curve is that of sRGB."""
    return difference.lab(difference.linear(pixels) @ profile.to_xyz(profile.DISPLAY_P3).T)


def patches() -> np.ndarray:
    return PATCHES.repeat(16, axis=0).reshape(1, -1, 3).repeat(16, axis=0)


def read(data: bytes) -> np.ndarray:
    return sw.read_picture(data)[8, 8::16, :3]


def test_the_measure_itself_gives_the_published_differences():
    pairs = np.loadtxt(PAIRS, delimiter=",", comments="#")
    found = difference.ciede2000(pairs[:, :3], pairs[:, 3:6])
    assert np.abs(found - pairs[:, 6]).max() < 1e-4


def test_the_made_profile_says_what_it_should():
    """The reference reader (Little CMS, through Pillow) converts by it as the formulas do."""
    pixels = Image.fromarray(PATCHES[None])
    made, srgb = ImageCms.ImageCmsProfile(io.BytesIO(P3)), ImageCms.createProfile("sRGB")
    found = np.asarray(ImageCms.profileToProfile(pixels, made, srgb))[0]
    assert difference.ciede2000(difference.lab_of_srgb(found), shown_in_p3(PATCHES)).max() < 1


@pytest.mark.parametrize(
    ("kind", "options"),
    [
        ("PNG", {}),
        ("JPEG", {"quality": 100, "subsampling": 0}),
        ("WEBP", {"lossless": True}),
    ],
)
def test_a_display_p3_picture_is_converted(kind, options):
    data = figure.saved(patches(), kind, icc_profile=P3, **options)
    found = read(data)
    assert difference.ciede2000(difference.lab_of_srgb(found), shown_in_p3(PATCHES)).max() < 1
    as_they_are = difference.lab_of_srgb(PATCHES)
    assert difference.ciede2000(as_they_are, shown_in_p3(PATCHES)).max() > 2, "or this would show nothing"


def test_the_opacity_is_left_alone():
    pixels = np.dstack([patches(), np.arange(patches().shape[1], dtype=np.uint8)[None].repeat(16, axis=0)])
    found = sw.read_picture(figure.saved(pixels, "PNG", icc_profile=P3))
    assert np.array_equal(found[..., 3], pixels[..., 3])


def test_the_command_says_that_colours_were_converted_or_says_nothing(tmp_path):
    (tmp_path / "a.png").write_bytes(png.lily(png.profile(P3)))
    answer = measured.plan("a.png", tmp_path)
    answer.check_limits()
    assert answer.status == 0
    assert "not applied" not in answer.err and "read as sRGB" not in answer.err


@pytest.mark.parametrize("name", [b"Lab ", b"CMYK", b"GRAY"])
def test_a_profile_for_other_colours_is_not_applied(name):
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        found = sw.read_picture(png.lily(png.profile(profile.other_space(name))))
    assert np.array_equal(found, figure.rgba())
    assert any("read as sRGB" in str(warning.message) for warning in caught)


def test_a_profile_cut_short_is_not_applied():
    with pytest.warns(sw.PictureWarning, match="read as sRGB"):
        assert np.array_equal(sw.read_picture(png.lily(png.profile(P3[:300]))), figure.rgba())


def test_a_profile_above_its_limit_is_left_packed():
    """A good profile with zeros behind it, one byte above 4 MiB."""
    body = P3.ljust((4 << 20) + 1, b"\0")
    with pytest.warns(sw.PictureWarning, match="read as sRGB"):
        assert np.array_equal(sw.read_picture(png.lily(png.profile(body))), figure.rgba())
