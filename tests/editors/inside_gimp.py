"""Runs inside GIMP without windows: opens pictures, calls the plug-in, leaves what came of it in files."""

import json
from pathlib import Path

from gi.repository import Gegl, Gimp, Gio

PLACE = Path("/data/case")
FORMAT = "R'G'B'A u8"


def pixels(drawable, box, form=FORMAT):
    buffer = drawable.get_buffer()
    return bytes(buffer.get(Gegl.Rectangle.new(*box), 1.0, form, Gegl.AbyssPolicy.NONE))


def opened(case):
    """Open the picture of a case and make of it what the case says."""
    image = Gimp.file_load(Gimp.RunMode.NONINTERACTIVE, Gio.File.new_for_path(str(PLACE / case["file"])))
    kind = case.get("kind")
    if kind != "indexed" and image.get_base_type() != Gimp.ImageBaseType.RGB:
        image.convert_rgb()
    if kind == "grey":
        image.convert_grayscale()
    if kind in {"16 bits", "float", "linear"}:
        precisions = {"16 bits": "U16_NON_LINEAR", "float": "FLOAT_NON_LINEAR", "linear": "FLOAT_LINEAR"}
        image.convert_precision(getattr(Gimp.Precision, precisions[kind]))
    if kind == "profile":
        image.convert_color_profile(
            Gimp.ColorProfile.new_rgb_adobe(), Gimp.ColorRenderingIntent.RELATIVE_COLORIMETRIC, False
        )
    layer = image.get_layers()[0]
    if case.get("moved"):
        layer.set_offsets(*case["moved"])
    if case.get("cut"):
        layer.resize(*case["cut"])
    if case.get("selected"):
        image.select_rectangle(Gimp.ChannelOps.REPLACE, *case["selected"])
    if case.get("feathered"):
        Gimp.Selection.feather(image, case["feathered"])
    if case.get("emptied"):
        layer = Gimp.Layer.new(image, "e", 100, 100, Gimp.ImageType.RGBA_IMAGE, 100.0, Gimp.LayerMode.NORMAL)
        image.insert_layer(layer, None, 0)
    if case.get("mask"):
        layer.add_mask(layer.create_mask(Gimp.AddMaskType.WHITE))
        return image, layer.get_mask()
    return image, layer


def tried(number, case):
    name = f"squarewright-{case['action']}"
    procedure = Gimp.get_pdb().lookup_procedure(name)
    config = procedure.create_config()
    told = {"form": [each.name for each in config.list_properties()]}
    config.set_property("run-mode", Gimp.RunMode.NONINTERACTIVE)
    for key, value in case["settings"].items():
        config.set_property(key, Gio.File.new_for_path(value) if key in {"stock", "folder"} else value)
    image = layer = None
    if case.get("file"):
        image, layer = opened(case)
        config.set_property("image", image)
        chosen = image.get_layers() if case.get("two") else [layer]
        config.set_core_object_array("drawables", [] if case.get("unchosen") else chosen)
        found, *box = layer.mask_intersect()
        x, y, width, height = box if found else (0, 0, 1, 1)
        _, left, top = layer.get_offsets()
        (PLACE / f"{number}-source.rgba").write_bytes(pixels(layer, (x, y, width, height)))
        told["box"] = [x + left, y + top, width, height]
        if case.get("feathered"):
            mask = pixels(image.get_selection(), told["box"], "Y u8")
            (PLACE / f"{number}-mask.grey").write_bytes(mask)
        before = [each.get_id() for each in image.get_layers()]
    done = procedure.run(config)
    told["status"] = done.index(0).value_nick
    told["words"] = str(done.index(1)) if done.length() > 1 else Gimp.get_pdb().get_last_error()
    if image is not None:
        added = [each for each in image.get_layers() if each.get_id() not in before]
        told["added"] = [each.get_name() for each in added]
        told["base"] = image.get_base_type().value_nick
        layers = added[0].get_children()[::-1] if added and added[0].is_group() else added
        told["layers"] = [each.get_name() for each in layers]
        told["places"] = [list(each.get_offsets())[1:] for each in layers]
        for place, each in enumerate(layers):
            box = (0, 0, each.get_width(), each.get_height())
            (PLACE / f"{number}-{place}.rgba").write_bytes(pixels(each, box))
        image.delete()
    return told


CASES = json.loads((PLACE / "cases.json").read_text())
(PLACE / "told.json").write_text(json.dumps([tried(number, case) for number, case in enumerate(CASES)]))
