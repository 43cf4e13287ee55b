"""The dialog that GIMP makes of the settings, with a live preview beside them."""

from typing import Any

import gi

gi.require_version("Gimp", "3.0")
gi.require_version("GimpUi", "3.0")
gi.require_version("Gtk", "3.0")
from gi.repository import GdkPixbuf, GimpUi, GLib, Gtk  # noqa: E402

from . import arguments  # noqa: E402
from .bridge import Trouble  # noqa: E402

SIDE = 320
"""The longer side of a preview."""

DELAY, BEAT = 300, 40
"""Milliseconds after the last change before a preview is made, and between two looks at the work."""


def ask(bridge: Any, action: str, procedure: Any, config: Any, picture: tuple) -> bool:  # noqa: ANN401
    """Show the dialog.

    Parameters
    ----------
    bridge : Bridge
        Words, form and engines.
    action : str
        What is asked for.
    procedure, config : Procedure, ProcedureConfig
        Whose settings they are, and where they go.
    picture : tuple
        The source, or None, and the path of the picture.

    Returns
    -------
    bool
        Whether the work is wanted.
    """
    GimpUi.init("squarewright-gimp")
    title = bridge.say(f"menu.{action}").replace("…", "").strip()
    dialog = GimpUi.ProcedureDialog.new(procedure, config, title)
    dialog.fill([field["key"] for field in bridge.fields(action)])
    if action == "plan":
        dialog.set_ok_label(bridge.say("ok"))
    preview = Preview(bridge, action, config, picture)
    if picture[0] is not None:
        _set_beside(dialog, preview.box)
        preview.begin()
    button = dialog.get_widget_for_response(Gtk.ResponseType.OK)
    if button is not None:
        button.grab_focus()
    try:
        return bool(dialog.run())
    finally:
        preview.end()
        dialog.destroy()


def _set_beside(dialog: Any, box: Any) -> None:  # noqa: ANN401
    """Put a box to the right of what the dialog holds already."""
    area = dialog.get_content_area()
    row = Gtk.Box(orientation=Gtk.Orientation.HORIZONTAL, spacing=12)
    left = Gtk.Box(orientation=Gtk.Orientation.VERTICAL, spacing=6)
    for child in area.get_children():
        if child is not dialog.get_action_area():
            area.remove(child)
            left.pack_start(child, False, False, 0)
    row.pack_start(left, True, True, 0)
    row.pack_start(box, False, False, 6)
    area.pack_start(row, True, True, 0)
    row.show_all()


class Preview:
    """A small picture of what the settings would give, made anew a moment after each change.

    Parameters
    ----------
    bridge, action, config, picture
        As for ``ask``.
    """

    def __init__(self, bridge: Any, action: str, config: Any, picture: tuple) -> None:  # noqa: ANN401
        self._bridge, self._action, self._config = bridge, action, config
        self._source, self._path = picture
        self._task: Any = None
        self._waiting = 0
        self._image, self._said = Gtk.Image(), Gtk.Label(label=bridge.say("preview"))
        self._image.set_size_request(SIDE, SIDE)
        self._said.set_line_wrap(True)
        self._said.set_max_width_chars(40)
        self._said.set_xalign(0)
        self.box = Gtk.Box(orientation=Gtk.Orientation.VERTICAL, spacing=6)
        self.box.pack_start(self._image, False, False, 0)
        self.box.pack_start(self._said, False, False, 0)

    def begin(self) -> None:
        """Follow the settings from now on."""
        self._config.connect("notify", lambda *_: self._later())
        self._later()

    def end(self) -> None:
        """Stop whatever still goes on."""
        if self._waiting:
            GLib.source_remove(self._waiting)
            self._waiting = 0
        if self._task is not None and not self._task.done:
            self._task.cancel()
        self._task = None

    def _later(self) -> None:
        self.end()
        self._waiting = GLib.timeout_add(DELAY, self._make)

    def _make(self) -> bool:
        self._waiting = 0
        chosen = arguments.chosen(self._config, self._bridge, self._action)
        picture = (self._source.width, self._source.height, self._path)
        request = self._bridge.request(self._action, chosen, picture, SIDE)
        try:
            task = self._task = self._bridge.start(request, self._source.pixels)
            GLib.timeout_add(BEAT, self._look, task)
        except Trouble as trouble:
            self._stand(trouble)
        return False

    def _look(self, task: Any) -> bool:  # noqa: ANN401
        if task is not self._task:
            return False
        if not task.poll():
            return True
        if task.trouble is not None:
            self._stand(task.trouble)
        elif task.made is not None:
            self._show(task.made)
        return False

    def _stand(self, trouble: Trouble) -> None:
        self._image.clear()
        self._said.set_text(self._bridge.explain(trouble))

    def _show(self, made: Any) -> None:  # noqa: ANN401
        width, height = made.size
        whole = GdkPixbuf.Pixbuf.new(GdkPixbuf.Colorspace.RGB, True, 8, width, height)
        whole.fill(0xFFFFFFFF)
        for pixels in made.layers.values():
            layer = GdkPixbuf.Pixbuf.new_from_bytes(
                GLib.Bytes.new(pixels), GdkPixbuf.Colorspace.RGB, True, 8, width, height, width * 4
            )
            still = GdkPixbuf.InterpType.NEAREST
            layer.composite(whole, 0, 0, width, height, 0.0, 0.0, 1.0, 1.0, still, 255)
        self._image.set_from_pixbuf(whole)
        self._said.set_text(self._bridge.sentence(self._action, made.facts))
