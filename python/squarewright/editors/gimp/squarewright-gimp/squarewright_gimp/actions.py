"""What happens when an entry of the menu is chosen, with windows or without."""

from pathlib import Path
from typing import Any

import gi

gi.require_version("Gimp", "3.0")
gi.require_version("Gegl", "0.4")
from gi.repository import Gegl, Gimp, GLib  # noqa: E402

from . import arguments, pixels  # noqa: E402

BEAT = 40
"""Milliseconds between two looks at the work."""


def act(bridge: Any, action: str, asked: tuple, image: Any, drawables: Any) -> bool:  # noqa: ANN401
    """Ask for settings where there is somebody to ask, and do the work.

    Parameters
    ----------
    bridge : Bridge
        Words, form and engines.
    action : str
        What is asked for.
    asked : tuple
        Procedure, its settings, and the mode in which it is run.
    image, drawables : Image, list of Drawable
        The picture and what of it is chosen.

    Returns
    -------
    bool
        Whether it was done, and not called off.

    Raises
    ------
    Trouble
        Whatever stands in the way.
    """
    procedure, config, mode = asked
    source = None if action == "palette" else pixels.read(image, drawables)
    picture = None if source is None else (source.width, source.height, _path(image))
    held = b"" if source is None else source.pixels

    def begin(preview: int = 0) -> Any:  # noqa: ANN401 -- a task
        chosen = arguments.chosen(config, bridge, action)
        return bridge.start(bridge.request(action, chosen, picture, preview), held)

    if mode != Gimp.RunMode.INTERACTIVE:
        Gimp.message(finish(bridge, action, image, source, _waited(begin(), bridge)))
        return True
    from . import window

    made = window.Window(bridge, action, (procedure, config), begin).ask(source is not None)
    if made is None:
        return False
    said = finish(bridge, action, image, source, made)
    Gimp.displays_flush()
    window.tell(said)
    return True


def _path(image: Any) -> str:  # noqa: ANN401
    """Give the path of the picture, also of one that was opened from another format."""
    file = image and (image.get_file() or image.get_imported_file())
    return (file.get_path() or "") if file else ""


def _waited(task: Any, bridge: Any) -> Any:  # noqa: ANN401
    """Wait in GIMP's own loop, and show how far the work is; its Cancel ends this plug-in and so the work."""
    Gimp.progress_init(bridge.say("working"))
    loop = GLib.MainLoop()

    def look() -> bool:
        Gimp.progress_update(task.progress)
        if task.poll():
            loop.quit()
        return not task.done

    GLib.timeout_add(BEAT, look)
    loop.run()
    Gimp.progress_end()
    return task.wait()


def finish(bridge: Any, action: str, image: Any, source: Any, made: Any) -> str:  # noqa: ANN401
    """Put what was made into the image, or among the palettes; say what it is.

    Parameters
    ----------
    bridge : Bridge
        Words.
    action : str
        What was asked for.
    image, source : Image, Source
        Where it goes.
    made : Made
        What an engine made.

    Returns
    -------
    str
    """
    said = bridge.sentence(action, made.facts)
    if action == "palette":
        _add_palette(bridge.say("paints"), made.paints)
        return said
    path = _path(image)
    name = bridge.say("group", name=Path(path).stem if path else bridge.say("untitled"))
    layers = [(bridge.say(f"layer.{word}"), held) for word, held in made.layers.items()]
    turned = pixels.write(image, name, source, layers, action == "plan")
    return f"{said} {bridge.say('done.rgb')}" if turned else said


def _add_palette(name: str, paints: list) -> None:
    """Make a palette of paints; GIMP finds a name of its own when there is one of that name."""
    palette = Gimp.Palette.new(name)
    for paint, *rgb in paints:
        colour = Gegl.Color.new("black")
        colour.set_rgba(*(level / 255 for level in rgb), 1.0)
        palette.add_entry(paint, colour)
    Gimp.context_set_palette(palette)
