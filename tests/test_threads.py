"""Many threads at once give what one gives: reading pictures, recovering grids, writing books."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import numpy as np
import pytest

import squarewright as sw
from made import document, figure, gif, png, profile

THREADS, TURNS = 8, 5

FILES = {
    "PNG": png.lily,
    "PNG in another colour space": lambda: png.lily(png.profile(profile.matrix_profile(profile.DISPLAY_P3))),
    "JPEG": lambda: figure.jpeg(exif=figure.held(6)),
    "JPEG progressive": lambda: figure.jpeg(progressive=True),
    "GIF": gif.lily,
    "WebP": lambda: figure.saved(figure.rgba(), "WEBP", lossless=True),
    "OpenRaster": lambda: document.ora(png.lily()),
    "a bad one": lambda: png.lily(end=b""),
}


def decoded(data):
    """Give the pixels and the notes, or the sentence of the error."""
    try:
        picture = sw.Picture.decode(data)
    except sw.PictureError as error:
        return str(error)
    return picture.to_bytes(), picture.width, picture.warnings


def planned(data):
    plan = sw.plan(data, panel=sw.Panel("12 in", "12 in"))
    return plan.to_pdf(), plan.to_svg(), plan.to_png(), plan.to_json()


def together(work, inputs):
    """Run all of the inputs at the same moment, several times over."""
    barrier = Barrier(len(inputs))

    def one(data):
        barrier.wait(30)
        return [work(data) for _ in range(TURNS)]

    with ThreadPoolExecutor(len(inputs)) as pool:
        return list(pool.map(one, inputs))


def test_eight_threads_read_different_files_as_one_thread_does():
    inputs = [make() for make in FILES.values()]
    assert len(inputs) == THREADS
    alone = [decoded(data) for data in inputs]
    for wanted, found in zip(alone, together(decoded, inputs), strict=True):
        assert found == [wanted] * TURNS


def test_eight_threads_plan_as_one_thread_does():
    inputs = [png.of_pixels(np.roll(figure.rgba(), 8 * turn, axis=1)) for turn in range(THREADS)]
    alone = [planned(data) for data in inputs]
    assert len({plan[3] for plan in alone}) > 1
    for wanted, found in zip(alone, together(planned, inputs), strict=True):
        assert found == [wanted] * TURNS


def test_one_picture_is_shared_by_many_threads():
    picture = sw.Picture.decode(png.lily())
    wanted = sw.recover(picture).grid
    assert (
        together(lambda shared: sw.recover(shared).grid, [picture] * THREADS) == [[wanted] * TURNS] * THREADS
    )


@pytest.mark.parametrize("count", [1, 4])
def test_a_failure_in_one_thread_leaves_the_others_alone(count):
    inputs = [png.lily()] * count + [b"frog\n"] * count
    found = together(decoded, inputs)
    assert all(isinstance(answer, tuple) for answers in found[:count] for answer in answers)
    assert all(answer.startswith("PIC-NOT-PICTURE") for answers in found[count:] for answer in answers)
