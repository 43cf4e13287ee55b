"""What stands under Tools > Scripts, and what happens when it is chosen."""

from pathlib import Path
from typing import Any

from krita import Extension, Krita

from . import pixels
from .bridge import Bridge, Trouble
from .dialog import Dialog
from .qt import QtWidgets

FOLDER = Path(__file__).parent
ACTIONS = ("plan", "pixelate", "palette")


class Squarewright(Extension):
    """The plug-in."""

    def __init__(self, parent: Any) -> None:  # noqa: ANN401
        super().__init__(parent)
        self.bridge = Bridge(FOLDER)

    def setup(self) -> None:
        """Do nothing: all waits for a window."""

    def createActions(self, window: Any) -> None:  # noqa: ANN401 -- Krita's name
        """Add the actions to the menu of a window."""
        for name in ACTIONS:
            action = window.createAction(
                f"squarewright_{name}", self.bridge.say(f"menu.{name}"), "tools/scripts"
            )
            action.setToolTip(self.bridge.say(f"about.{name}"))
            action.triggered.connect(lambda _=False, name=name: self.begin(name))

    def begin(self, action: str) -> None:
        """Ask for settings and do the work; whatever stands in the way is said."""
        window = Krita.instance().activeWindow()
        parent = window.qwindow() if window is not None else None
        try:
            source = None if action == "palette" else _source(window)
            document = Krita.instance().activeDocument()
            dialog = Dialog(self.bridge, action, source, document, parent)
            if dialog.exec_and_wait():
                said = finish(self.bridge, action, document, source, dialog.made)
                _tell(parent, said, wrong=False)
        except Trouble as trouble:
            _tell(parent, self.bridge.explain(trouble), wrong=True)


def _source(window: Any) -> pixels.Source:  # noqa: ANN401
    document = Krita.instance().activeDocument()
    if document is None:
        raise Trouble("NO-PICTURE")
    view = window.activeView() if window is not None else None
    if view is not None and len(view.selectedNodes()) > 1:
        raise Trouble("TWO-LAYERS")
    return pixels.read(document, document.activeNode())


def finish(bridge: Bridge, action: str, document: Any, source: Any, made: Any) -> str:  # noqa: ANN401
    """Put what was made into the document, or among the palettes; say what it is.

    Parameters
    ----------
    bridge : Bridge
        Words.
    action : str
        What was asked for.
    document, source : Document, Source
        Where it goes.
    made : Made
        What an engine made.

    Returns
    -------
    str
    """
    said = bridge.sentence(action, made.facts)
    if action == "palette":
        place = Path(Krita.getAppDataLocation()) / "palettes"
        place.mkdir(parents=True, exist_ok=True)
        (place / "squarewright-paints.gpl").write_text(made.facts["gpl"], encoding="utf-8")
        return f"{said} {bridge.say('done.restart')}"
    name = Path(document.fileName()).stem if document.fileName() else bridge.say("untitled")
    layers = [(bridge.say(f"layer.{word}"), held) for word, held in made.layers.items()]
    pixels.write(document, bridge.say("group", name=name), source, layers, action == "plan")
    return said


def _tell(parent: Any, words: str, *, wrong: bool) -> None:  # noqa: ANN401
    box, signs = QtWidgets.QMessageBox(parent), QtWidgets.QMessageBox.Icon
    box.setObjectName("squarewright-trouble" if wrong else "squarewright-said")
    box.setIcon(signs.Warning if wrong else signs.Information)
    box.setWindowTitle("Squarewright")
    box.setText(words)
    run = box.exec if hasattr(box, "exec") else box.exec_
    run()
