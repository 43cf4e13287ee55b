"""Files that cannot be used: each is refused by its code and sentence, at once, and nothing is written.

Each is given to the command, in a child that is measured, and to Python. Formats after ISO/IEC 15948 (PNG),
ITU-T T.81 (JPEG), ``GIF89a``, TIFF 6.0, RFC 9649 (WebP), OpenRaster 0.0.6.
"""

import re
import struct
import sys
import zlib
from collections.abc import Callable
from dataclasses import dataclass

import pytest

import measured
import squarewright as sw
from made import bmp, document, figure, gif, png, tiff


@dataclass(frozen=True)
class Refused:
    """A file, and how it is refused."""

    case: str
    name: str
    code: str
    words: tuple[str, ...]
    data: Callable[[], bytes]
    program: tuple[str, ...] = measured.AS_MODULE


def refused(case: str, name: str, code: str, words: str | tuple[str, ...], data, **more) -> Refused:
    return Refused(case, name, f"PIC-{code}", (words,) if isinstance(words, str) else words, data, **more)


def without_pillow(case: str, name: str, words: tuple[str, ...], data) -> Refused:
    return refused(f"{case} without Pillow", name, "FORMAT", words, data, program=measured.WITHOUT_PILLOW)


def half(data: bytes) -> bytes:
    return data[: len(data) // 2]


def flipped(data: bytes, place: int) -> bytes:
    return data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :]


CUT = "stops in the middle of the picture"
PART = " % of its rows"
AGAIN = "Save or download it again."
MPX = ("megapixels", "the limit is 100 megapixels", "Shrink or crop it first.")
WHOLE_ROWS = [bytes(12)] * 4

STRANGERS = [
    refused("empty file", "a.png", "EMPTY", f"is empty (0 bytes). {AGAIN}", lambda: b""),
    refused("one byte", "a.png", "TRUNCATED", f"{CUT}. {AGAIN}", lambda: b"\x89"),
    refused(
        "text", "a.png", "NOT-PICTURE", "is a text file, not a picture. Give a", lambda: b"Dear frog,\n\n"
    ),
    refused(
        "text in UTF-16",
        "a.png",
        "NOT-PICTURE",
        "is a text file, not a picture",
        lambda: "Dear frog,\n".encode("utf-16"),
    ),
    refused(
        "web page",
        "a.png",
        "NOT-PICTURE",
        ("is a web page, not a picture", "The download was probably an error page"),
        lambda: document.PAGE,
    ),
    refused("pointer", "a.png", "NOT-PICTURE", ("is a pointer", "Fetch the real"), lambda: document.POINTER),
    refused("PDF", "a.jpg", "NOT-PICTURE", "is a PDF, not a picture. Export the page", lambda: document.PDF),
    refused("zip", "a.png", "NOT-PICTURE", "is an archive", lambda: document.archive({"a.txt": b"a"})),
    refused("office file", "a.png", "NOT-PICTURE", "is an archive", document.office),
    refused(
        "drawing with a script",
        "a.svg",
        "VECTOR",
        "is a vector drawing. Export it as",
        lambda: document.SVG,
    ),
    refused("drawing under another name", "a.png", "VECTOR", "is a vector drawing", lambda: document.SVG),
    refused("HEIC", "a.heic", "FORMAT", ("HEIC", "JPEG"), lambda: document.boxes(b"heic")),
    refused("PSD", "a.psd", "FORMAT", ("an editor document", "PNG"), lambda: b"8BPS\0\1".ljust(99, b"\0")),
    refused(
        "KRA",
        "a.kra",
        "FORMAT",
        ("an editor document", "PNG"),
        lambda: document.archive({"mimetype": b"application/x-krita", "maindoc.xml": b"<DOC/>"}),
    ),
    refused(
        "XCF",
        "a.xcf",
        "FORMAT",
        ("an editor document", "PNG"),
        lambda: b"gimp xcf v011\0".ljust(99, b"\0"),
    ),
    refused("zeros", "a.png", "NOT-PICTURE", "is a file of unknown kind", lambda: bytes(1000)),
]

ORA_FILES = [
    refused(
        "merged picture of 763 MiB",
        "a.ora",
        "TOO-BIG",
        "512 MiB",
        lambda: document.ora(png.of(png.header(10_000, 10_000, 16), png.data([b""]), png.END)),
    ),
    refused("entry of 600 MiB", "a.ora", "TOO-BIG", "is too big", lambda: document.ora_bomb(600)),
    refused(
        "entry of 600 MiB that states 99 bytes",
        "a.ora",
        "DAMAGED",
        AGAIN,
        lambda: document.ora_bomb(600, 99),
    ),
    refused("no merged picture", "a.ora", "DAMAGED", AGAIN, lambda: document.ora(None)),
    refused(
        "wrong mimetype", "a.ora", "DAMAGED", AGAIN, lambda: document.ora(png.lily(), b"image/openrastel")
    ),
    refused(
        "entry that climbs out",
        "a.ora",
        "DAMAGED",
        AGAIN,
        lambda: document.ora(png.lily(), more={"../../climbed.png": png.lily()}),
    ),
    refused(
        "merged picture cut short",
        "a.ora",
        "TRUNCATED",
        PART,
        lambda: document.ora(half(png.lily())),
    ),
]

PNG_FILES = [
    refused("PNG cut in half", "a.png", "TRUNCATED", PART, lambda: half(png.lily())),
    refused("PNG header only", "a.png", "TRUNCATED", CUT, lambda: png.of(png.header(4, 4))),
    refused("PNG without its end", "a.png", "TRUNCATED", CUT, lambda: png.lily(end=b"")),
    refused(
        "checksum of the pixels",
        "a.png",
        "DAMAGED",
        "a checksum does not match",
        lambda: flipped(png.lily(), -13),
    ),
    refused(
        "checksum of the header",
        "a.png",
        "DAMAGED",
        "a checksum does not match",
        lambda: flipped(png.lily(), 29),
    ),
    refused("no width", "a.png", "EMPTY", "has no pixels", lambda: png.bomb(0, 5, 8, png.RGBA, 1)),
    refused("2147483647 a side", "a.png", "TOO-BIG", MPX, lambda: png.bomb(2**31 - 1, 2**31 - 1, 8, 6, 1)),
    refused(
        "60000 a side, 1 bit",
        "a.png",
        "TOO-BIG",
        ("3600 megapixels", *MPX),
        lambda: png.bomb(60_000, 60_000, 1, png.GREY, 430),
    ),
    refused(
        "16000 a side, RGBA, 1 MB",
        "a.png",
        "TOO-BIG",
        ("256 megapixels", *MPX),
        lambda: png.bomb(16_000, 16_000, 8, png.RGBA, 977),
    ),
    refused(
        "20000 a side, rows missing",
        "a.png",
        "TOO-BIG",
        ("400 megapixels", *MPX),
        lambda: png.bomb(20_000, 20_000, 8, png.RGB, 5),
    ),
    refused(
        "no pixels",
        "a.png",
        "DAMAGED",
        "the pixels are missing",
        lambda: png.of(png.header(4, 4), png.END),
    ),
    refused(
        "filter of kind 9",
        "a.png",
        "DAMAGED",
        "a row of pixels is packed in an unknown way",
        lambda: png.of(png.header(3, 4, 8, png.RGBA), png.data(WHOLE_ROWS, kind=9), png.END),
    ),
    refused(
        "no palette",
        "a.png",
        "DAMAGED",
        "its colour table is missing or wrong",
        lambda: png.packed((12, 4), 8, png.INDEXED, WHOLE_ROWS),
    ),
    refused(
        "7 bits a sample",
        "a.png",
        "DAMAGED",
        "its header states an impossible kind of pixel",
        lambda: png.packed((12, 4), 7, png.GREY, WHOLE_ROWS),
    ),
    refused(
        "fully transparent",
        "a.png",
        "BLANK",
        "every pixel is transparent",
        lambda: png.packed((3, 4), 8, png.RGBA, WHOLE_ROWS),
    ),
    refused(
        "32768 × 1",
        "a.png",
        "SHAPE",
        "too thin",
        lambda: png.packed((32_768, 1), 8, png.GREY, [bytes(range(256)) * 128]),
    ),
    refused("40000 × 1", "a.png", "TOO-BIG", "32768 pixels a side", lambda: png.bomb(40_000, 1, 8, 0, 1)),
]


def jpeg_header(side: int) -> bytes:
    """Make a JPEG that states a size and then ends (T.81, figure B.3)."""
    frame = struct.pack(">HBHHB", 17, 8, side, side, 3) + b"\1\x22\0\2\x11\1\3\x11\1"
    return b"\xff\xd8\xff\xc0" + frame + b"\xff\xd9"


OTHERS = [
    refused(
        "baseline JPEG cut in half",
        "a.jpg",
        "TRUNCATED",
        PART,
        lambda: half(figure.jpeg()),
    ),
    refused(
        "progressive JPEG cut in half",
        "a.jpg",
        "TRUNCATED",
        PART,
        lambda: half(figure.jpeg(progressive=True)),
    ),
    refused("JPEG of 65500 a side", "a.jpg", "TOO-BIG", ("4290.3", *MPX), lambda: jpeg_header(65_500)),
    refused("JPEG of 0 × 0", "a.jpg", "EMPTY", "has no pixels", lambda: jpeg_header(0)),
    refused("GIF of 0 × 0", "a.gif", "EMPTY", "has no pixels", lambda: gif.gif((0, 0), [])),
    refused("GIF of 65535 a side", "a.gif", "TOO-BIG", MPX, lambda: gif.gif((65_535, 65_535), [])),
    refused("GIF cut short", "a.gif", "TRUNCATED", CUT, lambda: half(gif.lily())),
    refused(
        "GIF without colours",
        "a.gif",
        "DAMAGED",
        "its colour table is missing or wrong",
        lambda: gif.gif((12, 10), [(0, 0, figure.indices())], palette=b""),
    ),
    refused(
        "BMP of negative width",
        "a.bmp",
        "DAMAGED",
        "its header states an impossible size",
        lambda: bmp.lily(-96),
    ),
    refused(
        "BMP of run-length nonsense",
        "a.bmp",
        "DAMAGED",
        AGAIN,
        lambda: bmp.bmp((4, 2), 8, 1, bytes(16), b"\0\xc8" + b"\1" * 300),
    ),
    refused("BMP of 2147483647 a side", "a.bmp", "TOO-BIG", MPX, lambda: bmp.lily(2**31 - 1)),
    refused("BMP cut in half", "a.bmp", "TRUNCATED", CUT, lambda: half(bmp.lily())),
    refused("TIFF whose directories go round", "a.tif", "DAMAGED", AGAIN, tiff.cycle),
    refused("fax of nonsense", "a.tif", "DAMAGED", AGAIN, lambda: tiff.fax(bytes(40))),
    refused(
        "WebP cut in half",
        "a.webp",
        "TRUNCATED",
        CUT,
        lambda: half(figure.saved(figure.rgba(), "WEBP", lossless=True)),
    ),
    refused(
        "lossy WebP cut in half",
        "a.webp",
        "TRUNCATED",
        CUT,
        lambda: half(figure.saved(figure.opaque(), "WEBP", quality=90)),
    ),
    without_pillow(
        "AVIF", "a.avif", ("AVIF", "pillow"), lambda: figure.saved(figure.opaque(), "AVIF", quality=90)
    ),
    without_pillow("TIFF whose directories go round", "a.tif", ("TIFF", "PNG"), tiff.cycle),
    without_pillow("tiled planar TIFF", "a.tif", ("TIFF", "PNG"), tiff.tiled_planar),
    without_pillow("floating-point TIFF", "a.tif", ("TIFF", "PNG"), tiff.floats),
    without_pillow(
        "TIFF with a palette",
        "a.tif",
        ("TIFF", "PNG"),
        lambda: figure.saved(figure.in_palette(), "TIFF"),
    ),
]

CASES = [*STRANGERS, *ORA_FILES, *PNG_FILES, *OTHERS]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.case)
def test_a_bad_picture_is_refused_by_its_code(case, tmp_path):
    folder = tmp_path / "deep" / "down"
    folder.mkdir(parents=True)
    (folder / case.name).write_bytes(case.data())
    before = measured.tree(tmp_path)
    answer = measured.plan(case.name, folder, program=case.program)
    answer.check_limits()
    sentence = (
        rf"squarewright: {case.code}: {re.escape(case.name)} \S.*[^.]\. [A-Z].*\. Nothing was written\.\n"
    )
    assert re.fullmatch(sentence, answer.err), answer.err
    for words in case.words:
        assert words in answer.err
    assert (answer.status, answer.out) == (1, "")
    assert measured.tree(tmp_path) == before


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.case)
def test_a_bad_picture_is_refused_in_python_by_the_same_code(case, tmp_path, monkeypatch):
    path = tmp_path / case.name
    path.write_bytes(case.data())
    if case.program is measured.WITHOUT_PILLOW:
        monkeypatch.setitem(sys.modules, "PIL", None)
    work = sw.recover if case.code in {"PIC-BLANK", "PIC-SHAPE"} else sw.read_picture
    for source, name in ((path, case.name), (path.read_bytes(), None)):
        with pytest.raises(sw.PictureError) as caught:
            work(source)
        assert (caught.value.code, caught.value.name) == (case.code, name)
        assert all(words in str(caught.value) for words in case.words) and caught.value.hint
    assert measured.tree(tmp_path) == [case.name]


def test_what_other_readers_say_of_a_file_does_not_come_through(tmp_path):
    (tmp_path / "a.tif").write_bytes(tiff.fax(b"\x35\x02\x01\x00\x80" * 20))
    answer = measured.plan("a.tif", tmp_path)
    answer.check_limits()
    assert re.fullmatch(r"(note: .+\n)*squarewright: .+ Nothing was written\.\n", answer.err), answer.err


LOOK = """
import time
import squarewright as sw
def peak(): return next(int(line.split()[1]) for line in open("/proc/self/status") if line[:6] == "VmHWM:")
data = open("bomb.png", "rb").read()
before, started = peak(), time.perf_counter()
try: sw.Picture.decode(data)
except sw.PictureError as error: print(error.code, time.perf_counter() - started, (peak() - before) / 1024)
"""


@pytest.mark.parametrize(
    ("size", "depth", "colour", "mebibytes"),
    [((60_000, 60_000), 1, png.GREY, 430), ((16_000, 16_000), 8, png.RGBA, 977)],
    ids=["60000 a side, 1 bit", "16000 a side, RGBA"],
)
def test_a_bomb_is_refused_before_it_can_go_off(size, depth, colour, mebibytes, tmp_path):
    (tmp_path / "bomb.png").write_bytes(png.bomb(*size, depth, colour, mebibytes))
    code, seconds, grown = measured.python("-c", LOOK, folder=tmp_path).out.split()
    assert code == "PIC-TOO-BIG"
    assert float(seconds) < 0.05
    assert float(grown) < 20


WITHIN_A_GIBIBYTE = """
import resource
resource.setrlimit(resource.RLIMIT_DATA, (1 << 30, 1 << 30))
import squarewright as sw
try: print(sw.Picture.decode(open("a.webp", "rb").read()))
except sw.PictureError as error: print(error.code)
"""


def test_no_room_is_made_for_two_gibibytes_that_a_webp_states_its_tags_to_have(tmp_path):
    """A process that may not grow so far, as in a container, would be ended at once."""
    data = figure.saved(figure.opaque(), "WEBP", quality=90, exif=figure.held(1))
    at = data.index(b"EXIF") + 4
    (tmp_path / "a.webp").write_bytes(data[:at] + (1 << 31).to_bytes(4, "little") + data[at + 4 :])
    answer = measured.python("-c", WITHIN_A_GIBIBYTE, folder=tmp_path)
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.strip() in {"PIC-TRUNCATED", "PIC-DAMAGED", "Picture(96 × 80 pixels)"}


def test_the_bombs_are_what_they_say():
    assert zlib.decompress(png.zeros(3)) == bytes(3 << 20)
    assert len(png.bomb(16_000, 16_000, 8, png.RGBA, 977)) < 1.1e6
