import io
import os
import warnings
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import squarewright as sw

HERON = Path(__file__).parent.parent / "examples" / "pond" / "heron.png"


def test_every_way_to_give_a_picture_gives_the_same_grid():
    data = HERON.read_bytes()
    array = sw.read_picture(HERON)
    assert array.shape == (60, 40, 4) and array.dtype == np.uint8
    expected = sw.recover(HERON).grid
    for source in [str(HERON), data, bytearray(data), io.BytesIO(data), array, array[:, ::-1][:, ::-1]]:
        assert sw.recover(source).grid == expected
    with Image.open(HERON) as image, HERON.open("rb") as file:
        assert sw.recover(image).grid == expected
        assert sw.recover(file).grid == expected


def test_an_array_without_opacity_is_opaque():
    assert sw.read_picture(np.full((2, 3, 3), 9, np.uint8))[0, 0].tolist() == [9, 9, 9, 255]


@pytest.mark.parametrize("array", [np.zeros((4, 4)), np.zeros((4, 4), np.uint8), np.zeros((4, 4, 3))])
def test_an_array_of_another_kind_is_refused(array):
    with pytest.raises(sw.PictureError, match=r"PIC-PIXELS.*uint8"):
        sw.recover(array)


@pytest.mark.parametrize("source", [None, 7, object(), []])
def test_what_is_no_picture_is_refused(source):
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.recover(source)


def test_a_file_open_as_text_is_refused():
    with pytest.raises(sw.ArgumentError, match="rb"):
        sw.recover(io.StringIO("x"))


def test_a_missing_file_names_its_neighbours(tmp_path):
    (tmp_path / "heron.png").write_bytes(HERON.read_bytes())
    with pytest.raises(sw.PlaceError, match=r"Did you mean heron\.png\?") as caught:
        sw.recover(tmp_path / "herom.png")
    assert caught.value.code == "PATH-MISSING"
    assert isinstance(caught.value, OSError)


def test_a_folder_is_refused(tmp_path):
    with pytest.raises(sw.PlaceError, match="PATH-FOLDER"):
        sw.recover(tmp_path)


def test_what_never_ends_is_refused_at_once(tmp_path):
    pipe = tmp_path / "pipe.png"
    os.mkfifo(pipe)
    for place in (pipe, "/dev/zero"):
        with pytest.raises(sw.PlaceError, match="PATH-NOT-FILE"):
            sw.recover(place)


def test_a_huge_file_is_refused_before_it_is_read(tmp_path):
    huge = tmp_path / "huge.png"
    with huge.open("wb") as file:
        file.truncate(300 << 20)
    with pytest.raises(sw.PictureError, match=r"PIC-TOO-BIG: huge\.png .*300 MiB"):
        sw.recover(huge)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "PIC-EMPTY"),
        (b"<html><body>404</body></html>", "PIC-NOT-PICTURE"),
        (HERON.read_bytes()[:200], "PIC-TRUNCATED"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "PIC-VECTOR"),
    ],
)
def test_bytes_that_are_no_picture_are_named_for_what_they_are(tmp_path, data, code):
    path = tmp_path / "figure.png"
    path.write_bytes(data)
    with pytest.raises(sw.PictureError, match=r"figure\.png") as caught:
        sw.recover(path)
    assert caught.value.code == code


def test_a_blank_picture_is_refused():
    with pytest.raises(sw.PictureError, match="PIC-BLANK"):
        sw.recover(np.zeros((4, 4, 4), np.uint8))


def test_too_few_bytes_for_the_size_are_refused():
    with pytest.raises(sw.PictureError, match="PIC-PIXELS"):
        sw.Picture.from_rgba(b"1234", 2, 2)
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.Picture.from_rgba(b"", -1, 2)


def test_an_animation_is_read_with_a_warning():
    frames = [Image.new("RGB", (4, 4), colour) for colour in ("red", "blue")]
    file = io.BytesIO()
    frames[0].save(file, "GIF", save_all=True, append_images=frames[1:])
    with pytest.warns(sw.PictureWarning, match="2 frames"):
        array = sw.read_picture(file.getvalue())
    assert array[0, 0].tolist() == [255, 0, 0, 255]


def test_a_jpeg_tells_how_it_was_compressed():
    file = io.BytesIO()
    Image.new("RGB", (16, 16), "red").save(file, "JPEG", quality=80)
    picture = sw.Picture.decode(file.getvalue())
    assert picture.jpeg["progressive"] is False
    assert len(picture.jpeg["components"]) == 3
    assert sw.Picture.decode(HERON.read_bytes()).jpeg is None


def test_a_plain_picture_is_read_without_a_warning():
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        sw.read_picture(HERON)
