"""What was chosen last, as text that Krita keeps among its settings."""

import json
from typing import Any


def text(bridge: Any, action: str, chosen: dict) -> str:  # noqa: ANN401
    """Write settings down, but for those that are asked for anew each time.

    Parameters
    ----------
    bridge : Bridge
        The form.
    action : str
        What was asked for.
    chosen : dict
        Its settings.

    Returns
    -------
    str
    """
    lasting = [field["key"] for field in bridge.fields(action) if not field["anew"]]
    return json.dumps({key: chosen[key] for key in lasting})


def chosen(bridge: Any, action: str, kept: str) -> dict:  # noqa: ANN401
    """Read settings back; whatever is missing or does not suit the form is as it is by itself.

    Parameters
    ----------
    bridge : Bridge
        The form.
    action : str
        What is asked for.
    kept : str
        What ``text`` wrote, perhaps an older version of it, or anything else.

    Returns
    -------
    dict
    """
    values = bridge.defaults(action)
    try:
        found = json.loads(kept)
    except ValueError:
        return values
    if isinstance(found, dict):
        for field in bridge.fields(action):
            value = found.get(field["key"])
            if not field["anew"] and _suits(field, value):
                values[field["key"]] = value
    return values


def _suits(field: dict, value: Any) -> bool:  # noqa: ANN401
    if field["kind"] == "choice":
        return value in field["choices"]
    if field["kind"] == "count":
        return type(value) is int and field["least"] <= value <= field["most"]
    return isinstance(value, bool if field["kind"] == "flag" else str)
