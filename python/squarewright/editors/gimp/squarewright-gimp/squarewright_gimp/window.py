"""The dialog that GIMP makes of the settings: a live preview beside them, then how far the work is."""

from typing import Any

import gi

gi.require_version("Gimp", "3.0")
gi.require_version("GimpUi", "3.0")
gi.require_version("Gtk", "3.0")
from gi.repository import GimpUi, GLib, Gtk  # noqa: E402

from . import arguments  # noqa: E402
from .actions import BEAT  # noqa: E402
from .bridge import Trouble  # noqa: E402
from .preview import Preview  # noqa: E402


class Window:
    """Asks for the settings of an action, and does it.

    Parameters
    ----------
    bridge : Bridge
        Words and form.
    action : str
        What is asked for.
    asked : tuple
        The procedure, and where its settings go.
    begin : callable
        Starts the work with the settings as they stand; of a preview it gets the longer side.
    """

    def __init__(self, bridge: Any, action: str, asked: tuple, begin: Any) -> None:  # noqa: ANN401
        self._bridge, self._action, self._begin = bridge, action, begin
        procedure, self._config = asked
        arguments.ask_anew(self._config, bridge, action)
        GimpUi.init("squarewright-gimp")
        title = bridge.say(f"menu.{action}").replace("…", "").strip()
        self._dialog = GimpUi.ProcedureDialog.new(procedure, self._config, title)
        self._dialog.fill([field["key"] for field in bridge.fields(action)])
        if action == "plan":
            self._dialog.set_ok_label(bridge.say("ok"))
        self._preview = Preview(bridge, action, self._config, begin)
        self._bar = Gtk.ProgressBar()
        self._form = self._arranged()
        self._config.connect("notify::door", self._open_fields)
        self._open_fields()

    def _arranged(self) -> Any:  # noqa: ANN401
        """Put the preview to the right of what the dialog holds, and the bar below; give the left part."""
        area = self._dialog.get_content_area()
        row = Gtk.Box(orientation=Gtk.Orientation.HORIZONTAL, spacing=12)
        left = Gtk.Box(orientation=Gtk.Orientation.VERTICAL, spacing=6)
        buttons = self._dialog.get_action_area()
        for child in area.get_children():
            if child is not buttons and not buttons.is_ancestor(child):
                area.remove(child)
                left.pack_start(child, False, False, 0)
        row.pack_start(left, True, True, 0)
        row.pack_start(self._preview.box, False, False, 6)
        area.pack_start(row, True, True, 0)
        area.pack_start(self._bar, False, False, 6)
        area.show_all()
        return left

    def _open_fields(self, *_: object) -> None:
        """Let those settings be changed that belong to the door which is chosen."""
        chosen = arguments.chosen(self._config, self._bridge, self._action)
        for field in self._bridge.fields(self._action):
            if field["door"]:
                open_ = self._bridge.applies(field, chosen)
                self._dialog.set_sensitive(field["key"], open_, None, None, False)

    def ask(self, previews: bool) -> Any:  # noqa: ANN401
        """Show the dialog until the work is done, or given up.

        Parameters
        ----------
        previews : bool
            Whether there is something to preview.

        Returns
        -------
        Made or None
            None when it was called off.
        """
        if previews:
            self._preview.begin()
        button = self._dialog.get_widget_for_response(Gtk.ResponseType.OK)
        if button is not None:
            button.grab_focus()
        try:
            while self._dialog.run():
                self._preview.end()
                try:
                    task = self._worked(self._begin())
                except Trouble as trouble:
                    self._preview.stand(trouble)
                    continue
                if task.trouble is None:
                    return task.made
                self._preview.stand(task.trouble)
            return None
        finally:
            self._preview.end()
            self._dialog.destroy()

    def _worked(self, task: Any) -> Any:  # noqa: ANN401
        """Wait in GIMP's own loop and show how far the work is; Cancel and closing the dialog stop it."""
        loop = GLib.MainLoop()

        def look() -> bool:
            self._bar.set_fraction(task.progress)
            if task.poll():
                loop.quit()
            return not task.done

        def stop(*_: object) -> bool:
            task.cancel()
            return True

        self._lock(True)
        followed = [self._dialog.connect(name, stop) for name in ("response", "delete-event")]
        GLib.timeout_add(BEAT, look)
        loop.run()
        for each in followed:
            self._dialog.disconnect(each)
        self._lock(False)
        self._bar.set_fraction(0)
        return task

    def _lock(self, working: bool) -> None:
        """Leave Cancel alone open while the work goes on."""
        cancel = self._dialog.get_widget_for_response(Gtk.ResponseType.CANCEL)
        for each in [self._form, *self._dialog.get_action_area().get_children()]:
            if each is not cancel:
                each.set_sensitive(not working)
        if working:
            self._preview.say(self._bridge.say("working"))


def tell(words: str, wrong: bool = False) -> None:
    """Say something in a window of our own: GIMP takes every message for a warning, and names the procedure.

    Parameters
    ----------
    words : str
        What is said.
    wrong : bool
        Whether something stands in the way.
    """
    GimpUi.init("squarewright-gimp")
    box = Gtk.MessageDialog(buttons=Gtk.ButtonsType.OK, text=words, title="Squarewright")
    sign = Gtk.Image.new_from_icon_name(
        f"dialog-{'warning' if wrong else 'information'}", Gtk.IconSize.DIALOG
    )
    sign.show()
    box.set_image(sign)
    GimpUi.window_set_transient(box)
    box.run()
    box.destroy()
