"""The settings that people see in an editor: one list, from which both plug-ins build their dialogs."""

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from squarewright.settings import Settings
from squarewright.settings.value import DEFAULTS

ACTIONS = ("plan", "pixelate", "palette")
"""What a person can ask for."""

_PLAN, _CELLS, _PAINTS = ("plan",), ("plan", "pixelate"), ("plan", "palette")


@dataclass(frozen=True)
class Field:
    """One setting of a dialog.

    Parameters
    ----------
    key : str
        Its name; ``editor.KEY`` and ``editor.KEY.help`` are its words.
    kind : str
        ``"choice"``, ``"count"``, ``"text"``, ``"flag"``, ``"file"`` or ``"folder"``.
    actions : tuple of str
        Where it is asked for.
    default : str, int or bool
        What it is by itself; empty for a file or folder.
    choices : tuple of str
        The words to choose from; ``editor.KEY.CHOICE`` says each.
    least, most : int
        The domain of a count.
    door : str
        The door that it is for alone; by default both.
    anew : bool
        Whether it is asked for each time, and what was chosen last does not count.
    """

    key: str
    kind: str
    actions: tuple[str, ...]
    default: str | int | bool
    choices: tuple[str, ...] = ()
    least: int = 0
    most: int = 0
    door: str = ""
    anew: bool = False


# What has no default in ``Settings`` gets one here, so that a first look needs no typing.
FIELDS = (
    Field("door", "choice", _PLAN, "recover", choices=("recover", "pixelate")),
    Field("columns", "count", _CELLS, 60, least=2, most=512, door="pixelate"),
    Field("colours", "count", _CELLS, DEFAULTS["colours"], least=2, most=64, door="pixelate"),
    Field(
        "brushwork",
        "choice",
        _CELLS,
        DEFAULTS["brushwork"],
        choices=("easy", "every-cell", "broad"),
        door="pixelate",
    ),
    Field("panel", "text", _PLAN, "12in x 12in"),
    Field("pitch", "text", _PLAN, ""),
    Field("stock", "file", _PAINTS, ""),
    Field("paper", "choice", _PLAN, DEFAULTS["paper"], choices=("letter", "a4")),
    Field("language", "choice", _PLAN, DEFAULTS["language"], choices=("en", "de")),
    Field("folder", "folder", _PLAN, ""),
    Field("overwrite", "flag", _PLAN, False, anew=True),
)
"""All settings, in the order in which dialogs show them."""


def form() -> list[dict[str, Any]]:
    """Give the settings as plain data, as the plug-ins read them.

    Returns
    -------
    list of dict
        One for each of ``FIELDS``.
    """
    return [{**dataclasses.asdict(field), "choices": list(field.choices)} for field in FIELDS]


def settings(action: str, chosen: Mapping[str, Any]) -> Settings:
    """Turn what was chosen in a dialog into settings.

    Parameters
    ----------
    action : str
        One of ``ACTIONS``.
    chosen : mapping
        Values by key; those that are missing have their defaults.

    Returns
    -------
    Settings

    Raises
    ------
    SquarewrightError
        As ``Settings``.
    """
    value = {field.key: chosen.get(field.key, field.default) for field in FIELDS}
    pixelates = action == "pixelate" or value["door"] == "pixelate"
    return Settings(
        panel=value["panel"],
        pitch=value["pitch"].strip() or None,
        pixelate=pixelates,
        columns=value["columns"] if pixelates else None,
        colours=value["colours"],
        brushwork=value["brushwork"],
        stock=Path(value["stock"]) if value["stock"] else None,
        paper=value["paper"],
        language=value["language"],
    )
