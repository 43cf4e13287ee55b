"""Reading against Pillow over the test pictures of its own source package.

Package: pillow 11.3.0 from the package index, folder ``Tests/images``, licence MIT-CMU, with the BMP suite by
Jason Summers in the public domain. ``make test`` fetches it into the .venv; none of it is kept here.

Both are to give the same pixels within one level. Wherever they do not, the file stands below with the
reason, and a reason that no longer holds fails the test.
"""

import json
import sys
from collections import Counter
from pathlib import Path

import pytest

import measured

CORPUS = Path(sys.prefix) / "corpus" / "pillow-11.3.0" / "Tests" / "images"

LEVELS = 1
"""The most levels that samples of one picture may be apart."""

JPEG_LEVELS, JPEG_MEAN = 4, 0.4
"""The same for JPEGs, and for their mean.

ITU-T T.83 and IEEE 1180 let each sample of brightness and colour be one level off after the inverse
transform; in blue that is up to 1 + 1.772 levels. How the halved samples of colour are spread over the pixels
is not laid down at all.
"""

COLOUR, JPEG_COLOUR = 1.5, 5.0
"""The largest CIEDE2000 where a profile was applied: a level or, in a JPEG, some levels of a dark colour."""

XMP_ONLY = "its orientation is in XMP or text alone, which is not read: CIPA DC-008 puts it into Exif"
ORDER = "the parts of its animation are out of order, which ISO/IEC 15948 forbids; the reference skips them"
INSIDE = "states that its pixels begin inside its colour table, which the reference does not believe"
NO_WHITE = "its samples are whole numbers that may be anything: nothing says which of them is white"
SKIPPED = "its run-length code skips pixels, which the format leaves open: one colour of its table, or black"

DIFFERENT = {
    "1_trns.png": "its see-through grey is 255 of 1 bit, out of range",
    "app13.jpg": "two samples of colour a row, which the reference repeats and does not blend",
    "bmp/q/pal4rletrns.bmp": SKIPPED,
    "bmp/q/pal8rletrns.bmp": SKIPPED,
    "exif_imagemagick_orientation.png": XMP_ONLY,
    "mmap_error.bmp": INSIDE,
    "pal8_offset.bmp": INSIDE,
    "xmp_tags_orientation.png": XMP_ONLY,
    "xmp_tags_orientation_exiftool.png": XMP_ONLY,
}

ONLY_REFERENCE = {
    "10ct_32bit_128.tiff": NO_WHITE,
    "16_bit_binary_pgm.tiff": NO_WHITE,
    "16bit.s.tif": NO_WHITE,
    "apng/chunk_repeat_fctl.png": ORDER,
    "apng/sequence_fdat_fctl.png": ORDER,
    "apng/sequence_gap.png": ORDER,
    "apng/sequence_reorder.png": ORDER,
    "apng/sequence_reorder_chunk.png": ORDER,
    "apng/sequence_repeat.png": ORDER,
    "apng/sequence_repeat_chunk.png": ORDER,
    "apng/sequence_start.png": ORDER,
    "bmp/b/badplanes.bmp": "states an impossible count of planes",
    "bmp/b/badrle.bmp": "its run-length code runs out of the picture",
    "bmp/b/rletopdown.bmp": "run-length code from the top down, which the format forbids",
    "bmp/q/pal8os2v2.bmp": "a header of OS/2 2, which hardly anything writes",
    "clipboard.dib": "a BMP without its first 14 bytes: no file but a piece of memory",
    "hopper_bad_exif.jpg": "its packed pixels make no sense; the reference shows stripes",
    "no_palette.gif": "has no colours: the reference makes them up",
    "truncated_app14.jpg": "a segment of it states a length that is not there",
}

ONLY_OURS = {
    "bmp/g/rgb32bf.bmp": "an order of channels that the reference does not know",
    "bmp/q/pal2.bmp": "2 bits a pixel",
    "bmp/q/rgb16-231.bmp": "2, 3 and 1 bits a channel",
    "bmp/q/rgb32-111110.bmp": "11, 11 and 10 bits a channel",
    "bmp/q/rgba16-4444.bmp": "4 bits a channel",
    "png_decompression_dos.png": "the reference unpacks its long text; it is not looked at here",
    "unknown_compression_method.png": "its header states another packing, yet the pixels are packed as ever",
}

NEITHER = {
    "apng/chunk_no_fctl.png": "PIC-DAMAGED",
    "apng/syntax_num_frames_zero.png": "PIC-DAMAGED",
    "bmp/b/badbitcount.bmp": "PIC-DAMAGED",
    "bmp/b/badheadersize.bmp": "PIC-FORMAT",
    "bmp/b/badpalettesize.bmp": "PIC-DAMAGED",
    "bmp/b/badwidth.bmp": "PIC-DAMAGED",
    "bmp/b/reallybig.bmp": "PIC-TOO-BIG",
    "bmp/b/shortfile.bmp": "PIC-TRUNCATED",
    "bmp/q/pal8os2v2-16.bmp": "PIC-FORMAT",
    "bmp/q/pal8oversizepal.bmp": "PIC-DAMAGED",
    "bmp/q/rgb24jpeg.bmp": "PIC-FORMAT",
    "bmp/q/rgb24png.bmp": "PIC-FORMAT",
    "bmp/q/rgba32abf.bmp": "PIC-DAMAGED",
    "broken.png": "PIC-DAMAGED",
    "broken_data_stream.png": "PIC-DAMAGED",
    "decompression_bomb.gif": "PIC-TRUNCATED",
    "l2rgb_read.bmp": "PIC-TOO-BIG",
    "truncated_end_chunk.png": "PIC-TRUNCATED",
    "truncated_image.png": "PIC-TRUNCATED",
    "truncated_jpeg.jpg": "PIC-TRUNCATED",
    "ultrahdr.jpg": "PIC-TRUNCATED",
    "crash-0c7e0e8e11ce787078f00b5b0ca409a167f070e0.tif": "PIC-DAMAGED",
    "crash-0e16d3bfb83be87356d026d66919deaefca44dac.tif": "PIC-DAMAGED",
    "crash-1152ec2d1a1a71395b6f2ce6721c38924d025bf3.tif": "PIC-DAMAGED",
    "crash-1185209cf7655b5aed8ae5e77784dfdd18ab59e9.tif": "PIC-DAMAGED",
    "crash-2020-10-test.tif": "PIC-DAMAGED",
    "crash-338516dbd2f0e83caddb8ce256c22db3bd6dc40f.tif": "PIC-DAMAGED",
    "crash-4f085cc12ece8cde18758d42608bed6a2a2cfb1c.tif": "PIC-DAMAGED",
    "crash-63b1dffefc8c075ddc606c0a2f5fdc15ece78863.tif": "PIC-DAMAGED",
    "crash-86214e58da443d2b80820cff9677a38a33dcbbca.tif": "PIC-DAMAGED",
    "crash-f46f5b2f43c370fe65706c11449f567ecc345e74.tif": "PIC-DAMAGED",
    "hopper_unknown_pixel_mode.tif": "PIC-DAMAGED",
    "hopper_webp.tif": "PIC-DAMAGED",
    "libtiff_segfault.tif": "PIC-DAMAGED",
    "oom-225817ca0f8c663be7ab4b9e717b02c661e66834.tif": "PIC-DAMAGED",
    "seek_too_large.tif": "PIC-DAMAGED",
    "tiff_overflow_rows_per_strip.tif": "PIC-DAMAGED",
    "zero_width.gif": "PIC-EMPTY",
}


@pytest.fixture(scope="module")
def answer():
    assert CORPUS.is_dir(), "make test fetches the pictures; pytest alone does not"
    program = str(Path(__file__).with_name("compare_corpus.py"))
    found = measured.python(program, str(CORPUS), folder=Path(__file__).parent, patience=120)
    assert found.status == 0, found.err[-2000:]
    return found


@pytest.fixture(scope="module")
def files(answer):
    return [json.loads(line) for line in answer.out.splitlines()]


def names(files, who):
    return {file["name"]: file for file in files if file["who"] == who}


def agrees(file):
    if file["opacity"] > LEVELS:
        return False
    is_jpeg = file["kind"] in {"JPEG", "MPO"}
    if file["converted"]:
        return file["colour"] <= (JPEG_COLOUR if is_jpeg else COLOUR)
    if is_jpeg:
        return file["levels"] <= JPEG_LEVELS and file["mean"] <= JPEG_MEAN
    return file["levels"] <= LEVELS


def test_pictures_that_both_read_are_the_same_but_for_the_reasons_listed(files):
    both = names(files, "both")
    different = {name: file for name, file in both.items() if not agrees(file)}
    assert {name: different[name] for name in different if name not in DIFFERENT} == {}
    assert set(DIFFERENT) - set(different) == set(), "these agree now: take them off the list"
    assert len(both) > 650


def test_pictures_that_only_the_reference_reads_are_listed(files):
    found = names(files, "only theirs")
    assert set(found) == set(ONLY_REFERENCE)
    assert all(file["said"].startswith("PIC-") for file in found.values())


def test_pictures_that_only_we_read_are_listed(files):
    assert set(names(files, "only ours")) == set(ONLY_OURS)


def test_pictures_that_nobody_reads_are_refused_by_their_code(files):
    found = {name: file["said"] for name, file in names(files, "neither").items()}
    assert found == NEITHER


OURS_ALONE = """
import sys
from pathlib import Path
sys.modules["PIL"] = None
from squarewright import errors, pictures
for path in sorted(Path(sys.argv[1]).rglob("*")):
    if path.is_file():
        try: pictures.load(path)
        except errors.PictureError: pass
"""


def test_no_picture_takes_long_or_much(files):
    """Every file of the package is read once more, the odd ones too, without Pillow."""
    slow = {file["name"]: file["seconds"] for file in files if file["seconds"] > measured.SECONDS}
    assert slow == {}
    alone = measured.python("-c", OURS_ALONE, str(CORPUS), folder=Path(__file__).parent, patience=120)
    assert (alone.status, alone.err) == (0, "")
    assert alone.mebibytes <= measured.MEBIBYTES


def test_the_corpus_is_the_whole_one(files):
    """As many files of each kind as there are in the package."""
    kinds = Counter(Path(file["name"]).suffix for file in files)
    assert kinds[".png"] == 431 and kinds[".bmp"] == 72 and kinds[".jpg"] == 56
    assert kinds[".gif"] == 39 and kinds[".webp"] == 14 and kinds[".mpo"] == 7


@pytest.mark.parametrize("reasons", [DIFFERENT, ONLY_REFERENCE, ONLY_OURS])
def test_every_entry_has_a_reason(reasons):
    assert all(len(reason) > 10 for reason in reasons.values())
