"""Makes files that are no plain pictures: archives, OpenRaster documents, boxes, drawings and texts."""

import io
import struct
import zipfile
import zlib

from made import png

ORA = b"image/openraster"
"""The first entry of an OpenRaster document (OpenRaster 0.0.6, baseline)."""

STACK = b"<?xml version='1.0'?><image version='0.0.6' w='96' h='80'><stack/></image>"

SVG = (
    b'<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9">'
    b"<script>while (true) {}</script><rect width='9' height='9'/></svg>"
)

POINTER = (
    b"version https://git-lfs.github.com/spec/v1\n"
    b"oid sha256:4d7a214614ab2935c943f9e0ff69d22eadbb8f32b1258daaa5e2ca24d17e2393\nsize 12345\n"
)

PAGE = b"<!DOCTYPE html>\n<html><head><title>404</title></head><body>Not found</body></html>\n"

PDF = b"%PDF-1.7\n1 0 obj\n<< /Type /Catalog >>\nendobj\ntrailer\n<< /Root 1 0 R >>\n%%EOF\n"


def archive(entries: dict[str, bytes]) -> bytes:
    """Make a zip of entries, the first one stored as it is."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        for place, (name, body) in enumerate(entries.items()):
            how = zipfile.ZIP_DEFLATED if place else zipfile.ZIP_STORED
            file.writestr(zipfile.ZipInfo(name), body, compress_type=how)
    return out.getvalue()


def office() -> bytes:
    """Make what a word processor saves: a zip of texts."""
    return archive({"[Content_Types].xml": b"<Types/>", "word/document.xml": b"<document/>"})


def ora(merged: bytes | None, mimetype: bytes = ORA, more: dict[str, bytes] | None = None) -> bytes:
    """Make an OpenRaster document around a merged picture."""
    entries = {"mimetype": mimetype, "stack.xml": STACK, "data/layer0.png": png.lily()}
    if merged is not None:
        entries["mergedimage.png"] = merged
    return archive(entries | (more or {}))


def ora_bomb(mebibytes: int, stated: int | None = None) -> bytes:
    """Make an OpenRaster document whose merged picture unpacks to that many MiB of zeros.

    Its directory may state another length.
    """
    whole = io.BytesIO(ora(None))
    packed = png.zeros(mebibytes)[2:-4]
    total = 0
    for _ in range(mebibytes):
        total = zlib.crc32(bytes(png.MEBIBYTE), total)
    length = mebibytes * png.MEBIBYTE if stated is None else stated
    name = b"mergedimage.png"
    with zipfile.ZipFile(whole) as file:
        start, entries = file.start_dir, file.infolist()
    before, directory = whole.getvalue()[:start], whole.getvalue()[start:-22]
    facts = struct.pack("<HHHHHIIIHH", 20, 0, 8, 0, 33, total, len(packed), length, len(name), 0)
    local = b"PK\3\4" + facts + name + packed
    listed = b"PK\1\2" + struct.pack("<H", 20) + facts + struct.pack("<HHHII", 0, 0, 0, 0, start) + name
    count = len(entries) + 1
    listing = directory + listed
    ending = struct.pack("<HHHHIIH", 0, 0, count, count, len(listing), start + len(local), 0)
    return before + local + listing + b"PK\5\6" + ending


def boxes(brand: bytes) -> bytes:
    """Make the beginning of a file of boxes (ISO/IEC 14496-12) with a main brand."""
    return struct.pack(">I4s4sI4s", 20, b"ftyp", brand, 0, b"mif1") + struct.pack(">I4s", 8, b"mdat")
