"""Files with bytes changed at random: each is a picture or a coded error, at once and within its memory.

Ten thousand of each format, 1 to 64 bytes changed, few more often than many, the same each time; each format
in a child of its own. Half of the PNGs get right checksums again: else few would reach the decoder.
"""

import json

import pytest

import measured
import squarewright as sw
from made import document, figure, gif, png

MUTANTS = 10_000

CHILD = """
import json, random, resource, struct, sys, time, zlib
import squarewright as sw
from squarewright import pictures

# a net below the measured limit, for memory that is asked for and never used
resource.setrlimit(resource.RLIMIT_DATA, (2 << 30, 2 << 30))

def hurt(seed, chance):
    data = bytearray(seed)
    for _ in range(int(2 ** chance.uniform(0, 6.022))):
        data[chance.randrange(len(data))] = chance.randrange(256)
    if seed[1:4] == b"PNG" and chance.random() < 0.5:
        seal(data)
    return bytes(data)

def seal(data):
    at = 8
    while at + 12 <= len(data):
        (length,) = struct.unpack_from(">I", data, at)
        end = at + 8 + length
        if end + 4 > len(data):
            break
        struct.pack_into(">I", data, end, zlib.crc32(data[at + 4 : end]))
        at = end + 4

def answer(data):
    try:
        picture = pictures.load(data)
    except sw.PictureError as error:
        return error.code
    assert len(picture.to_bytes()) == picture.width * picture.height * 4 > 0
    return "picture"

seed, chance, counts, slowest = open(sys.argv[1], "rb").read(), random.Random(69), {}, 0.0
assert answer(seed) == "picture"
for _ in range(int(sys.argv[2])):
    data = hurt(seed, chance)
    started = time.perf_counter()
    found = answer(data)
    slowest = max(slowest, time.perf_counter() - started)
    counts[found] = counts.get(found, 0) + 1
print(json.dumps({"counts": counts, "slowest": slowest}))
"""

SMALL = figure.rgba(2)

SEEDS = {
    "PNG": lambda: png.of_pixels(SMALL),
    "PNG with everything": lambda: figure.saved(
        figure.in_palette(), "PNG", exif=figure.held(6), icc_profile=bytes(300), dpi=(72, 72), transparency=0
    ),
    "JPEG": lambda: figure.jpeg(figure.opaque(4), exif=figure.held(6)),
    "JPEG progressive": lambda: figure.jpeg(figure.opaque(4), progressive=True),
    "GIF": gif.lily,
    "BMP": lambda: figure.saved(figure.in_palette(), "BMP"),
    "WebP lossless": lambda: figure.saved(SMALL, "WEBP", lossless=True),
    "WebP lossy": lambda: figure.saved(SMALL, "WEBP", quality=80, exif=figure.held(6)),
    "OpenRaster": lambda: document.ora(png.of_pixels(SMALL)),
}


@pytest.mark.parametrize("kind", SEEDS)
def test_changed_bytes_give_a_picture_or_a_coded_error(kind, tmp_path):
    (tmp_path / "seed").write_bytes(SEEDS[kind]())
    answer = measured.python("-c", CHILD, "seed", str(MUTANTS), folder=tmp_path, patience=120)
    assert (answer.status, answer.err) == (0, "")
    found = json.loads(answer.out)
    codes = set(found["counts"]) - {"picture"}
    assert codes and all(code.startswith("PIC-") for code in codes)
    assert sum(found["counts"].values()) == MUTANTS
    # both answers must come up often, or the test would not reach the decoders
    assert min(found["counts"].get("picture", 0), MUTANTS - found["counts"].get("picture", 0)) >= 50, found
    assert found["slowest"] <= measured.SECONDS
    assert answer.mebibytes <= measured.MEBIBYTES


def test_the_seeds_are_pictures_all_but_the_documents():
    for kind, make in SEEDS.items():
        if kind != "OpenRaster":
            assert sw.Picture.decode(make()).width > 0
