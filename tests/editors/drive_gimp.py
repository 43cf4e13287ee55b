"""Runs in GIMP with its window: opens the dialogs as the menu does, then tells what came of it."""

import json
from pathlib import Path

from gi.repository import Gegl, Gimp, Gio, GLib

PLACE = Path("/data/case")
FORMAT = "R'G'B'A u8"


def pixels(drawable):
    box = Gegl.Rectangle.new(0, 0, drawable.get_width(), drawable.get_height())
    return bytes(drawable.get_buffer().get(box, 1.0, FORMAT, Gegl.AbyssPolicy.NONE))


def names(image):
    return [image.get_base_type().value_nick, *(each.get_name() for each in image.get_layers())]


def tell(name, told):
    (PLACE / f"{name}.new").write_text(json.dumps(told))
    (PLACE / f"{name}.new").rename(PLACE / f"{name}.json")


def pause(milliseconds):
    loop = GLib.MainLoop()
    GLib.timeout_add(milliseconds, loop.quit)
    loop.run()


def chosen(image, drawables, **settings):
    """Choose the entry of the menu, as somebody who sees the dialog with these settings in it."""
    procedure = Gimp.get_pdb().lookup_procedure("squarewright-plan")
    config = procedure.create_config()
    config.set_property("image", image)
    config.set_core_object_array("drawables", drawables)
    config.set_property("run-mode", Gimp.RunMode.INTERACTIVE)
    for key, value in settings.items():
        config.set_property(key, value)
    done = procedure.run(config)
    words = str(done.index(1)) if done.length() > 1 else Gimp.get_pdb().get_last_error()
    return done.index(0).value_nick, words


def refused(image, layer):
    """Choose what there is nothing to do with: no dialog comes, but a sentence in a window."""
    # Steps of its own would stand in the way of those that are undone later.
    told = {"no picture": chosen(None, [])[0]}
    second = Gimp.Layer.new(image, "second", 9, 9, Gimp.ImageType.RGBA_IMAGE, 100.0, Gimp.LayerMode.NORMAL)
    image.undo_disable()
    image.insert_layer(second, None, 0)
    told["two layers"] = chosen(image, [layer, second])[0]
    told["empty layer"] = chosen(image, [second])[0]
    image.remove_layer(second)
    image.select_rectangle(Gimp.ChannelOps.REPLACE, 0, 0, 5, 5)
    told["empty selection"] = chosen(image, [layer])[0]
    Gimp.Selection.none(image)
    image.undo_enable()
    return told


def main():
    image = Gimp.get_images()[0]
    layer = image.get_layers()[0]
    if image.get_base_type() != Gimp.ImageBaseType.RGB:
        image.convert_rgb()
    before = names(image)
    (PLACE / "source.rgba").write_bytes(pixels(layer))
    kinds = ("plan", "pixelate", "palette")
    menu = [Gimp.get_pdb().lookup_procedure(f"squarewright-{kind}").get_menu_label() for kind in kinds]
    tell("refused", {"menu": menu, **refused(image, layer)})
    stopped = Gio.File.new_for_path(str(PLACE / "stopped"))
    large = {"door": "pixelate", "columns": 200, "colours": 64, "panel": "10ft x 16ft", "folder": stopped}
    status, words = chosen(image, [layer], **large)
    tell("stopped", {"status": status, "words": words, "after": names(image), "before": before})
    status, words = chosen(image, [layer], overwrite=True)
    group = image.get_layers()[0]
    layers = group.get_children()[::-1] if group.is_group() else []
    for place, each in enumerate(layers):
        (PLACE / f"{place}.rgba").write_bytes(pixels(each))
    told = {"status": status, "words": words, "layers": [each.get_name() for each in layers]}
    Gimp.displays_flush()
    pause(1500)
    tell("planned", {**told, "size": [layer.get_width(), layer.get_height()]})
    for _ in range(600):
        pause(200)
        if names(image) == before:
            tell("undone", names(image))
            break
    pause(600_000)


main()
