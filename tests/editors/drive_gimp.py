"""Runs in GIMP with its window: opens the dialog as the menu does, then tells what came of it."""

import json
from pathlib import Path

from gi.repository import Gegl, Gimp, GLib

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


def main():
    image = Gimp.get_images()[0]
    layer = image.get_layers()[0]
    before = names(image)
    (PLACE / "source.rgba").write_bytes(pixels(layer))
    procedure = Gimp.get_pdb().lookup_procedure("squarewright-plan")
    config = procedure.create_config()
    config.set_property("image", image)
    config.set_core_object_array("drawables", [layer])
    config.set_property("run-mode", Gimp.RunMode.INTERACTIVE)
    done = procedure.run(config)
    group = image.get_layers()[0]
    layers = group.get_children()[::-1] if group.is_group() else []
    for place, each in enumerate(layers):
        (PLACE / f"{place}.rgba").write_bytes(pixels(each))
    told = {"status": done.index(0).value_nick, "words": Gimp.get_pdb().get_last_error(), "before": before}
    told.update(layers=[each.get_name() for each in layers], size=[layer.get_width(), layer.get_height()])
    Gimp.displays_flush()
    pause(1500)
    tell("planned", told)
    for _ in range(600):
        pause(200)
        if names(image) == before:
            tell("undone", names(image))
            break
    pause(600_000)


main()
