"""Pixels out of an image of any kind, and layers into it."""

from typing import Any

import gi

gi.require_version("Gimp", "3.0")
gi.require_version("Gegl", "0.4")
from gi.repository import Gegl, Gimp  # noqa: E402

from .bridge import Source, Trouble  # noqa: E402

FORMAT = "R'G'B'A u8"
"""Red, green, blue and opacity, 8 bits each, in sRGB: babl converts whatever the image holds."""


def read(image: Any, drawables: Any) -> Source:  # noqa: ANN401
    """Read a layer, and of it what is selected; what is selected in part becomes as transparent.

    Parameters
    ----------
    image : Image
        Where it is; None when there is none.
    drawables : list of Drawable
        What is chosen.

    Returns
    -------
    Source

    Raises
    ------
    Trouble
        When there is nothing to read.
    """
    if image is None:
        raise Trouble("NO-PICTURE")
    if not drawables:
        raise Trouble("NO-LAYER")
    if len(drawables) > 1:
        raise Trouble("TWO-LAYERS")
    layer = drawables[0]
    if not isinstance(layer, Gimp.Layer):
        raise Trouble("NO-PIXELS")
    if layer.get_width() == 0 or layer.get_height() == 0:
        raise Trouble("EMPTY-LAYER")
    found, x, y, width, height = layer.mask_intersect()
    if not found or width == 0 or height == 0:
        raise Trouble("EMPTY-SELECTION")
    _, left, top = layer.get_offsets()
    pixels = bytearray(_bytes(layer, (x, y, width, height), FORMAT))
    selected = not Gimp.Selection.is_empty(image)
    if selected:
        mask = _bytes(image.get_selection(), (x + left, y + top, width, height), "Y u8")
        if mask.count(255) != len(mask):
            pairs = zip(pixels[3::4], mask)  # noqa: B905 -- Python 3.9 knows no strict one
            pixels[3::4] = bytes(a * b // 255 for a, b in pairs)
    if not any(pixels[3::4]):
        raise Trouble("EMPTY-SELECTION" if selected else "EMPTY-LAYER")
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
        made = [_layer(image, word, source, held) for word, held in layers]
        group = None
        if grouped:
            group = Gimp.GroupLayer.new(image, name)
            image.insert_layer(group, None, 0)
        for layer in made:
            image.insert_layer(layer, group, 0)
    finally:
        image.undo_group_end()
    return turned


def _layer(image: Any, name: str, source: Source, held: bytes) -> Any:  # noqa: ANN401
    """Fill a layer before it joins the image."""
    size = source.width, source.height
    layer = Gimp.Layer.new(image, name, *size, Gimp.ImageType.RGBA_IMAGE, 100.0, Gimp.LayerMode.NORMAL)
    layer.set_offsets(source.left, source.top)
    buffer = layer.get_buffer()
    buffer.set(Gegl.Rectangle.new(0, 0, *size), FORMAT, held)
    buffer.flush()
    return layer
