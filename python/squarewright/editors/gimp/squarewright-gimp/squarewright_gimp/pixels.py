"""Pixels out of an image of any kind, and layers into it."""

from typing import Any

import gi

gi.require_version("Gimp", "3.0")
gi.require_version("Gegl", "0.4")
from gi.repository import Gegl, Gimp  # noqa: E402

from .bridge import Source, Trouble  # noqa: E402

FORMAT = "R'G'B'A u8"
"""Red, green, blue and opacity, 8 bits each, in sRGB: babl converts whatever the image holds."""


def read(image: Any, drawables: Any, say: Any) -> Source:  # noqa: ANN401
    """Read a layer, and of it what is selected; what is selected in part becomes as transparent.

    Parameters
    ----------
    image : Image
        Where it is; None when there is none.
    drawables : list of Drawable
        What is chosen.
    say : callable
        Gives words by key.

    Returns
    -------
    Source

    Raises
    ------
    Trouble
        When there is nothing to read.
    """
    if image is None:
        raise Trouble("NO-PICTURE", say("trouble.no-picture"))
    if not drawables:
        raise Trouble("NO-LAYER", say("trouble.no-layer"))
    if len(drawables) > 1:
        raise Trouble("TWO-LAYERS", say("trouble.two-layers"))
    layer = drawables[0]
    if not isinstance(layer, Gimp.Layer):
        raise Trouble("NO-PIXELS", say("trouble.no-pixels"))
    if layer.get_width() == 0 or layer.get_height() == 0:
        raise Trouble("EMPTY-LAYER", say("trouble.empty-layer"))
    found, x, y, width, height = layer.mask_intersect()
    if not found or width == 0 or height == 0:
        raise Trouble("EMPTY-SELECTION", say("trouble.empty-selection"))
    _, left, top = layer.get_offsets()
    pixels = bytearray(_bytes(layer, (x, y, width, height), FORMAT))
    if not any(pixels[3::4]):
        raise Trouble("EMPTY-LAYER", say("trouble.empty-layer"))
    if not Gimp.Selection.is_empty(image):
        mask = _bytes(image.get_selection(), (x + left, y + top, width, height), "Y u8")
        if mask.count(255) != len(mask):
            pairs = zip(pixels[3::4], mask)  # noqa: B905 -- Python 3.9 knows no strict one
            pixels[3::4] = bytes(a * b // 255 for a, b in pairs)
        if not any(pixels[3::4]):
            raise Trouble("EMPTY-SELECTION", say("trouble.empty-selection"))
    return Source(bytes(pixels), width, height, x + left, y + top)


def _bytes(drawable: Any, box: tuple, form: str) -> bytes:  # noqa: ANN401
    rectangle = Gegl.Rectangle.new(*box)
    return bytes(drawable.get_buffer().get(rectangle, 1.0, form, Gegl.AbyssPolicy.NONE))


def write(image: Any, name: str, source: Source, layers: list, grouped: bool) -> bool:  # noqa: ANN401
    """Put layers into an image in one step that can be undone.

    Parameters
    ----------
    image : Image
        Where they go, above all others.
    name : str
        What their group is called.
    source : Source
        Where they lie.
    layers : list of pairs
        The name and the pixels of each, the lowest first.
    grouped : bool
        Whether they go into a group.

    Returns
    -------
    bool
        Whether the image had to become RGB, as grey and listed colours cannot hold them.
    """
    image.undo_group_start()
    try:
        turned = image.get_base_type() != Gimp.ImageBaseType.RGB
        if turned:
            image.convert_rgb()
        group = None
        if grouped:
            group = Gimp.GroupLayer.new(image, name)
            image.insert_layer(group, None, 0)
        for word, pixels in layers:
            mode = Gimp.LayerMode.NORMAL
            size = source.width, source.height
            layer = Gimp.Layer.new(image, word, *size, Gimp.ImageType.RGBA_IMAGE, 100.0, mode)
            image.insert_layer(layer, group, 0)
            layer.set_offsets(source.left, source.top)
            buffer = layer.get_buffer()
            buffer.set(Gegl.Rectangle.new(0, 0, *size), FORMAT, pixels)
            buffer.flush()
            layer.update(0, 0, *size)
    finally:
        image.undo_group_end()
    return turned
