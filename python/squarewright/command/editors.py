"""The command line: ``squarewright editors install``, ``uninstall``, ``list``, ``doctor`` and ``pack``."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright import errors, names
from squarewright.command import example, streams

if TYPE_CHECKING:
    from squarewright.editors.doctor import Finding

_MENUS = {
    "gimp": "Start GIMP again; then look under Filters > Squarewright.",
    "krita": "Start Krita again, tick Squarewright under Settings > Configure Krita > Python Plugin Manager,"
    " and start it once more; then look under Tools > Scripts.",
    "enabled": "Start Krita again; then look under Tools > Scripts.",
}


def add(commands: "argparse._SubParsersAction[Any]") -> None:
    """Add the command and what may follow it, and the one that plug-ins start.

    Parameters
    ----------
    commands : action
        The commands of the parser.
    """
    # Without help it stays out of the list: it is for plug-ins.
    commands.add_parser("job").add_argument("request")
    editors = commands.add_parser(
        "editors",
        help="put Squarewright into GIMP 3 or Krita, or take it out again",
        **example.ending("squarewright editors install krita --enable"),
    )
    actions = editors.add_subparsers(
        dest="action", required=True, metavar="install | uninstall | list | doctor | pack"
    )
    said = {
        "install": "put the plug-in where the editor finds it",
        "uninstall": "take the plug-in away",
    }
    for action, words in said.items():
        parser = actions.add_parser(
            action, help=words, **example.ending(f"squarewright editors {action} gimp --flatpak")
        )
        parser.add_argument("editor", choices=["gimp", "krita"])
        parser.add_argument("--flatpak", action="store_true", help="the editor is a Flatpak")
        parser.add_argument(
            "--dest", metavar="FOLDER", help="the folder of all plug-ins, where it is none of the usual ones"
        )
        _add_json(parser)
        if action == "install":
            parser.add_argument(
                "--enable", action="store_true", help="switch it on in Krita, which must be closed"
            )
    listing = actions.add_parser(
        "list", help="list the plug-ins that are installed", **example.ending("squarewright editors list")
    )
    checking = actions.add_parser(
        "doctor",
        help="look for what keeps the plug-ins from working",
        **example.ending("squarewright editors doctor"),
    )
    packing = actions.add_parser(
        "pack",
        help="make the archive that Krita imports as a plug-in",
        **example.ending("squarewright editors pack krita --out squarewright-krita.zip"),
    )
    packing.add_argument("editor", choices=["krita"])
    packing.add_argument("--out", metavar="FILE", default="squarewright-krita.zip")
    packing.add_argument("--overwrite", action="store_true", help="replace a file that is there already")
    for parser in (listing, checking, packing):
        _add_json(parser)
    for parser in (listing, checking):
        parser.add_argument("--dest", metavar="FOLDER", help="a folder of plug-ins besides the usual ones")


def _add_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print one JSON object on standard output")


def run(typed: argparse.Namespace, begun: list[Path]) -> int:
    """Do what was typed, and say what became of it.

    Parameters
    ----------
    typed : Namespace
        What was typed.
    begun : list of Path
        As for the other commands; plug-ins are put in whole or not at all.

    Returns
    -------
    int
        0 when all is well · 1 when the doctor found something.
    """
    actions = {
        "install": _install,
        "uninstall": _uninstall,
        "list": _list,
        "doctor": _doctor,
        "pack": _pack,
    }
    return actions[typed.action](typed)


def _folders(typed: argparse.Namespace, key: str, flatpak: bool = False) -> list[Path]:
    from squarewright.editors import hosts

    return [Path(typed.dest)] if typed.dest else hosts.plug_ins(key, flatpak)


def _install(typed: argparse.Namespace) -> int:
    from squarewright.editors import enable, hosts, install

    if typed.enable and typed.editor != "krita":
        hint = "Leave --enable away: GIMP has its plug-ins on by itself."
        raise errors.ArgumentError("VALUE-BAD", "enable is for Krita", hint)
    # Checked first, so that nothing is written when Krita is open.
    enabled = typed.enable and enable.enable(hosts.krita_settings(typed.flatpak))
    places = [
        install.install(typed.editor, folder) for folder in _folders(typed, typed.editor, typed.flatpak)
    ]
    told = ", ".join(names.escaped(str(place)) for place in places)
    report = {"editor": typed.editor, "installed": [str(place) for place in places], "enabled": enabled}
    menu = _MENUS["enabled" if typed.enable else typed.editor]
    return _said(typed, report, f"Installed in {told}. {menu}")


def _uninstall(typed: argparse.Namespace) -> int:
    from squarewright.editors import install

    removed = [
        place
        for folder in _folders(typed, typed.editor, typed.flatpak)
        for place in install.uninstall(typed.editor, folder)
    ]
    lines = [f"Removed {names.escaped(str(place))}." for place in removed]
    report = {"editor": typed.editor, "removed": [str(place) for place in removed]}
    return _said(typed, report, "\n".join(lines or ["It was not installed."]))


def _list(typed: argparse.Namespace) -> int:
    from squarewright.editors import doctor

    found = [
        {"editor": key, "folder": str(folder), "version": setup["version"]}
        for key, folder, setup in doctor.plug_ins(Path(typed.dest) if typed.dest else None)
    ]
    lines = [f"{each['editor']}  {each['version']}  {names.escaped(each['folder'])}" for each in found]
    return _said(typed, {"plug_ins": found}, "\n".join(lines or ["None is installed."]))


def _doctor(typed: argparse.Namespace) -> int:
    from squarewright.editors import doctor

    findings = doctor.examine(Path(typed.dest) if typed.dest else None)
    report = {"findings": [{"well": each.well, "what": each.what, "hint": each.hint} for each in findings]}
    lines = "\n".join(names.escaped(_line(each)) for each in findings)
    _said(typed, report, lines)
    return 0 if all(each.well for each in findings) else 1


def _pack(typed: argparse.Namespace) -> int:
    from squarewright.editors import install

    made = install.pack(Path(typed.out), typed.overwrite)
    streams.note(
        ["in Krita: Tools > Scripts > Import Python Plugin from File; it fits this system and processor"]
    )
    return _said(typed, {"file": str(made)}, f"The plug-in is packed in {names.escaped(str(made))}.")


def _line(finding: "Finding") -> str:
    return f"{'well' if finding.well else 'ILL '}  {finding.what}. {finding.hint}".rstrip()


def _said(typed: argparse.Namespace, report: dict[str, Any], words: str) -> int:
    streams.say(json.dumps(report) if typed.json else words)
    return 0
