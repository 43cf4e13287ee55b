"""Pixels out of a document of any kind, and layers into it."""

from typing import Any

from krita import Krita

from .bridge import Source, Trouble
from .qt import QtCore

SRGB = "sRGB-elle-V2-srgbtrc.icc"
"""The profile that Krita calls sRGB, and always has."""

_MASKS = ("transparencymask", "filtermask", "transformmask", "selectionmask", "colorizemask", "filterlayer")


def read(document: Any, node: Any) -> Source:  # noqa: ANN401
    """Read a layer, and of it what is selected; what is selected in part becomes as transparent.

    Parameters
    ----------
    document, node : Document, Node
        What is read; None when there is none.

    Returns
    -------
    Source

    Raises
    ------
    Trouble
        When there is nothing to read.
    """
    if document is None:
        raise Trouble("NO-PICTURE")
    if node is None:
        raise Trouble("NO-LAYER")
    if node.type() in _MASKS:
        raise Trouble("NO-PIXELS")
    document.waitForDone()
    area = node.bounds().intersected(QtCore.QRect(0, 0, document.width(), document.height()))
    if area.isEmpty():
        raise Trouble("EMPTY-LAYER")
    selection = document.selection()
    if selection is not None:
        box = QtCore.QRect(selection.x(), selection.y(), selection.width(), selection.height())
        area = area.intersected(box)
        if area.isEmpty():
            raise Trouble("EMPTY-SELECTION")
    box = (area.x(), area.y(), area.width(), area.height())
    pixels = _swapped(_in_srgb(node, box))
    if selection is not None:
        mask = bytes(selection.pixelData(*box))
        if mask.count(255) != len(mask):
            pairs = zip(pixels[3::4], mask)  # noqa: B905 -- Python 3.9 knows no strict one
            pixels[3::4] = bytes(a * b // 255 for a, b in pairs)
        if not any(pixels[3::4]):
            raise Trouble("EMPTY-SELECTION")
    return Source(bytes(pixels), area.width(), area.height(), area.x(), area.y())


def _in_srgb(node: Any, box: tuple) -> bytes:  # noqa: ANN401
    """Give blue, green, red and opacity, 8 bits each, as they look on the layer."""
    seen = node.projectionPixelData(*box)
    space = (node.colorModel(), node.colorDepth(), node.colorProfile())
    if space == ("RGBA", "U8", SRGB):
        return bytes(seen)
    # A document that nobody sees converts them, as Krita converts any other.
    width, height = box[2:]
    aside = Krita.instance().createDocument(width, height, "", *space, 72.0)
    try:
        aside.setBatchmode(True)
        layer = aside.topLevelNodes()[0]
        layer.setPixelData(seen, 0, 0, width, height)
        aside.setColorSpace("RGBA", "U8", SRGB)
        aside.waitForDone()
        return bytes(layer.pixelData(0, 0, width, height))
    finally:
        aside.close()


def _swapped(pixels: bytes) -> bytearray:
    """Change red and blue places: Krita keeps blue first in 8 bits."""
    out = bytearray(pixels)
    out[0::4], out[2::4] = pixels[2::4], pixels[0::4]
    return out


def write(document: Any, name: str, source: Source, layers: list, grouped: bool) -> None:  # noqa: ANN401
    """Put layers into a document in one step that can be undone.

    Parameters
    ----------
    document : Document
        Where they go, above all others.
    name : str
        What their group is called.
    source : Source
        Where they lie.
    layers : list of pairs
        The name and the pixels of each, the lowest first.
    grouped : bool
        Whether they go into a group.
    """
    nodes = [_layer(document, word, source, pixels) for word, pixels in layers]
    if grouped:
        group = document.createGroupLayer(name)
        for node in nodes:
            group.addChildNode(node, None)
        nodes = [group]
    # What is filled before it joins the document is one step with it.
    for node in nodes:
        document.rootNode().addChildNode(node, None)
    document.refreshProjection()


def _layer(document: Any, name: str, source: Source, pixels: bytes) -> Any:  # noqa: ANN401
    node = document.createNode(name, "paintlayer")
    if (node.colorModel(), node.colorDepth(), node.colorProfile()) != ("RGBA", "U8", SRGB):
        node.setColorSpace("RGBA", "U8", SRGB)
    data = QtCore.QByteArray(bytes(_swapped(pixels)))
    node.setPixelData(data, source.left, source.top, source.width, source.height)
    return node
