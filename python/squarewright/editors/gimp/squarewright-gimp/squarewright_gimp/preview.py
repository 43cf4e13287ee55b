"""A small picture of what the settings would give, beside them."""

from typing import Any

import gi

gi.require_version("Gtk", "3.0")
from gi.repository import GdkPixbuf, GLib, Gtk  # noqa: E402

from .actions import BEAT  # noqa: E402
from .bridge import Trouble  # noqa: E402

SIDE = 320
"""The longer side of a preview."""

DELAY = 300
"""Milliseconds after the last change before a preview is made."""


class Preview:
    """A preview, made anew a moment after each change.

    Parameters
    ----------
    bridge : Bridge
        Words.
    action : str
        What is asked for.
    config : ProcedureConfig
        The settings.
    begin : callable
        Starts the work for a preview of a longer side.
    """

    def __init__(self, bridge: Any, action: str, config: Any, begin: Any) -> None:  # noqa: ANN401
        self._bridge, self._action, self._config, self._begin = bridge, action, config, begin
        self._task: Any = None
        self._waiting = 0
        self._image, self._said = Gtk.Image(), Gtk.Label()
        self._said.set_line_wrap(True)
        self._said.set_max_width_chars(40)
        self._said.set_xalign(0)
        self.box = Gtk.Box(orientation=Gtk.Orientation.VERTICAL, spacing=6)
        self.box.pack_start(self._image, False, False, 0)
        self.box.pack_start(self._said, False, False, 0)

    def begin(self) -> None:
        """Follow the settings from now on."""
        self._image.set_size_request(SIDE, SIDE)
        self.say(self._bridge.say("preview"))
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

    def say(self, words: str) -> None:
        """Show words below the picture."""
        self._said.set_text(words)

    def stand(self, trouble: Trouble) -> None:
        """Say what is wrong in place of the picture."""
        self._image.clear()
        self.say(self._bridge.explain(trouble))

    def _later(self) -> None:
        self.end()
        self._waiting = GLib.timeout_add(DELAY, self._make)

    def _make(self) -> bool:
        self._waiting = 0
        try:
            self._task = self._begin(SIDE)
            GLib.timeout_add(BEAT, self._look, self._task)
        except Trouble as trouble:
            self.stand(trouble)
        return False

    def _look(self, task: Any) -> bool:  # noqa: ANN401
        if task is not self._task:
            return False
        if not task.poll():
            return True
        if task.trouble is not None:
            self.stand(task.trouble)
        elif task.made is not None:
            self._show(task.made)
        return False

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
        self.say(self._bridge.sentence(self._action, made.facts))
