#!/usr/bin/env python3
"""Squarewright in GIMP 3: the entries under Filters > Squarewright."""

import sys
from pathlib import Path
from typing import Any

import gi

gi.require_version("Gimp", "3.0")
from gi.repository import Gimp, GLib  # noqa: E402
from squarewright_gimp import actions, arguments  # noqa: E402
from squarewright_gimp.bridge import Bridge, Trouble  # noqa: E402

BRIDGE = Bridge(Path(__file__).parent / "squarewright_gimp")
NAMES = {f"squarewright-{action}": action for action in ("plan", "pixelate", "palette")}


class Squarewright(Gimp.PlugIn):
    """The plug-in."""

    def do_query_procedures(self) -> list:
        """Give the names of the procedures."""
        return list(NAMES)

    def do_set_i18n(self, _name: str) -> bool:
        """Say that the words come translated."""
        return False

    def do_create_procedure(self, name: str) -> Any:  # noqa: ANN401
        """Describe a procedure: its menu, its words, its settings."""
        action, mask = NAMES[name], Gimp.ProcedureSensitivityMask
        if action == "palette":
            procedure = Gimp.Procedure.new(self, name, Gimp.PDBProcType.PLUGIN, _run_alone, action)
            procedure.add_enum_argument(
                "run-mode", "Run mode", "", Gimp.RunMode, Gimp.RunMode.NONINTERACTIVE, arguments.FLAGS
            )
        else:
            procedure = Gimp.ImageProcedure.new(self, name, Gimp.PDBProcType.PLUGIN, _run, action)
            procedure.set_image_types("*")
            # Without a picture or with two layers it can be chosen too, and says what is missing.
            procedure.set_sensitivity_mask(mask.DRAWABLE | mask.DRAWABLES | mask.NO_DRAWABLES | mask.NO_IMAGE)
        procedure.set_menu_label(BRIDGE.say(f"menu.{action}"))
        procedure.add_menu_path("<Image>/Filters/Squarewright/")
        procedure.set_documentation(BRIDGE.say(f"about.{action}"), BRIDGE.say(f"about.{action}"), name)
        procedure.set_attribution("Squarewright", "Squarewright", "2026")
        arguments.add(procedure, BRIDGE, action)
        return procedure


def _run(procedure: Any, mode: Any, image: Any, drawables: Any, config: Any, action: str) -> Any:  # noqa: ANN401
    return _guarded(
        procedure, mode, lambda: actions.act(BRIDGE, action, (procedure, config, mode), image, drawables)
    )


def _run_alone(procedure: Any, config: Any, action: str) -> Any:  # noqa: ANN401
    mode = config.get_property("run-mode")
    return _guarded(procedure, mode, lambda: actions.act(BRIDGE, action, (procedure, config, mode), None, []))


def _guarded(procedure: Any, mode: Any, work: Any) -> Any:  # noqa: ANN401
    """Do the work; what goes wrong is said, since GIMP shows nothing of an exception."""
    status = Gimp.PDBStatusType
    try:
        done = work()
        return procedure.new_return_values(status.SUCCESS if done else status.CANCEL, GLib.Error())
    except Trouble as trouble:
        words = BRIDGE.explain(trouble)
    except Exception as error:
        words = BRIDGE.explain(Trouble("INTERNAL", f"{type(error).__name__}: {error}"))
    if mode == Gimp.RunMode.INTERACTIVE:
        from squarewright_gimp import window

        window.tell(words, wrong=True)
        return procedure.new_return_values(status.CANCEL, GLib.Error())
    error = GLib.Error.new_literal(Gimp.PlugIn.error_quark(), words, 0)
    return procedure.new_return_values(status.EXECUTION_ERROR, error)


Gimp.main(Squarewright.__gtype__, sys.argv)
