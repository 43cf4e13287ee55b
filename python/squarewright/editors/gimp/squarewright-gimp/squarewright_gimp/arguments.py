"""The settings of the form as arguments of procedures, and back."""

from typing import Any

import gi

gi.require_version("Gimp", "3.0")
from gi.repository import Gimp, GObject  # noqa: E402

FLAGS = GObject.ParamFlags.READWRITE


def add(procedure: Any, bridge: Any, action: str) -> None:  # noqa: ANN401
    """Declare all settings of an action, so that dialog, repeating, presets and batch calls know them.

    Parameters
    ----------
    procedure : Procedure
        What they are declared for.
    bridge : Bridge
        Form and words.
    action : str
        What is asked for.
    """
    defaults = bridge.defaults(action)
    for field in bridge.fields(action):
        key, kind, value = field["key"], field["kind"], defaults[field["key"]]
        named = key, bridge.say(key), bridge.say(f"{key}.help")
        if kind == "choice":
            choice = Gimp.Choice.new()
            for number, each in enumerate(field["choices"]):
                choice.add(each, number, bridge.say(f"{key}.{each}"), "")
            procedure.add_choice_argument(*named, choice, value, FLAGS)
        elif kind == "count":
            procedure.add_int_argument(*named, field["least"], field["most"], value, FLAGS)
        elif kind == "flag":
            procedure.add_boolean_argument(*named, value, FLAGS)
        elif kind == "text":
            procedure.add_string_argument(*named, value, FLAGS)
        else:
            actions = Gimp.FileChooserAction
            chooser = actions.OPEN if kind == "file" else actions.SELECT_FOLDER
            procedure.add_file_argument(*named, chooser, True, None, FLAGS)


def ask_anew(config: Any, bridge: Any, action: str) -> None:  # noqa: ANN401
    """Forget of what was chosen last, which GIMP fills in, the settings that are asked for anew each time.

    Parameters
    ----------
    config : ProcedureConfig
        Where the settings stand.
    bridge : Bridge
        The form.
    action : str
        What is asked for.
    """
    for field in bridge.fields(action):
        if field["anew"]:
            config.set_property(field["key"], field["default"])


def chosen(config: Any, bridge: Any, action: str) -> dict:  # noqa: ANN401
    """Give the settings as they stand.

    Parameters
    ----------
    config : ProcedureConfig
        Where they stand.
    bridge : Bridge
        The form.
    action : str
        What is asked for.
    """
    values = {}
    for field in bridge.fields(action):
        value = config.get_property(field["key"])
        if field["kind"] in {"file", "folder"}:
            value = (value.get_path() or "") if value is not None else ""
        values[field["key"]] = value if value is not None else ""
    return values
