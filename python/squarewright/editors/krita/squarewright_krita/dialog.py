"""The dialog: settings from the form, a live preview, and the work with progress and a way to stop it."""

from typing import Any

from krita import Krita

from . import memory
from .bridge import Bridge, Made, Trouble
from .qt import QtCore, QtGui, QtWidgets

SIDE = 320
"""The longer side of a preview."""

DELAY, BEAT = 300, 40
"""Milliseconds after the last change before a preview is made, and between two looks at the work."""

SETTINGS = "squarewright"
"""The part of Krita's settings in which what was chosen last is kept."""


class Dialog(QtWidgets.QDialog):
    """Asks for the settings of an action, and does it.

    Parameters
    ----------
    bridge : Bridge
        Words, form and engines.
    action : str
        What is asked for.
    source : Source or None
        The picture; none for paints.
    document : Document or None
        Where it is from.
    parent : QWidget
        The window.
    """

    def __init__(self, bridge: Bridge, action: str, source: Any, document: Any, parent: Any) -> None:  # noqa: ANN401
        super().__init__(parent)
        self._bridge, self._action, self._source = bridge, action, source
        self._path = document.fileName() if document is not None else ""
        self.made: Made | None = None
        self._task: Any = None
        self._previewing = False
        self._widgets: dict[str, Any] = {}
        self.setObjectName(f"squarewright-{action}")
        self.setWindowTitle(bridge.say(f"menu.{action}").replace("…", "").strip())
        self._build()
        self._delay, self._beat = QtCore.QTimer(self), QtCore.QTimer(self)
        self._delay.setSingleShot(True)
        self._delay.setInterval(DELAY)
        self._delay.timeout.connect(self._begin_preview)
        self._beat.setInterval(BEAT)
        self._beat.timeout.connect(self._look)
        self._changed()

    def exec_and_wait(self) -> bool:
        """Show the dialog; say whether there is something made."""
        run = self.exec if hasattr(self, "exec") else self.exec_
        run()
        if self._task is not None and not self._task.done:
            self._task.cancel()
        return self.made is not None

    def _build(self) -> None:
        say = self._bridge.say
        rows = QtWidgets.QFormLayout()
        kept = Krita.instance().readSetting(SETTINGS, self._action, "")
        last = memory.chosen(self._bridge, self._action, kept)
        for field in self._bridge.fields(self._action):
            widget = self._widget(field, last[field["key"]])
            widget.setObjectName(field["key"])
            widget.setToolTip(say(f"{field['key']}.help"))
            self._widgets[field["key"]] = widget
            label = "" if field["kind"] == "flag" else say(field["key"])
            rows.addRow(label, _row(self, widget, field["kind"], say("choose")))
        self._form = QtWidgets.QWidget()
        self._form.setLayout(rows)
        self._said = QtWidgets.QLabel()
        self._said.setObjectName("said")
        self._said.setWordWrap(True)
        self._said.setMinimumSize(SIDE, 3 * self._said.fontMetrics().lineSpacing())
        self._said.setAlignment(QtCore.Qt.AlignmentFlag.AlignTop)
        self._preview = QtWidgets.QLabel(say("preview"))
        self._preview.setObjectName("preview")
        self._preview.setMinimumSize(SIDE, SIDE)
        self._preview.setAlignment(QtCore.Qt.AlignmentFlag.AlignCenter)
        self._preview.setVisible(self._source is not None)
        self._bar = QtWidgets.QProgressBar()
        self._bar.setRange(0, 100)
        buttons = QtWidgets.QDialogButtonBox()
        kinds = QtWidgets.QDialogButtonBox.StandardButton
        self._ok, cancel = buttons.addButton(kinds.Ok), buttons.addButton(kinds.Cancel)
        self._ok.setObjectName("ok")
        cancel.setObjectName("cancel")
        cancel.setText(say("cancel"))
        if self._action == "plan":
            self._ok.setText(say("ok"))
        self._ok.clicked.connect(self._begin)
        cancel.clicked.connect(self.reject)
        right = QtWidgets.QVBoxLayout()
        right.addWidget(self._preview)
        right.addWidget(self._said)
        right.addStretch(1)
        top = QtWidgets.QHBoxLayout()
        top.addWidget(self._form)
        top.addLayout(right)
        whole = QtWidgets.QVBoxLayout(self)
        whole.addLayout(top)
        whole.addWidget(self._bar)
        whole.addWidget(buttons)

    def _widget(self, field: dict, value: Any) -> Any:  # noqa: ANN401
        kind = field["kind"]
        if kind == "choice":
            widget = QtWidgets.QComboBox()
            for choice in field["choices"]:
                widget.addItem(self._bridge.say(f"{field['key']}.{choice}"), choice)
            widget.setCurrentIndex(field["choices"].index(value))
            widget.currentIndexChanged.connect(self._changed)
        elif kind == "count":
            widget = QtWidgets.QSpinBox()
            widget.setRange(field["least"], field["most"])
            widget.setValue(value)
            widget.valueChanged.connect(self._changed)
        elif kind == "flag":
            widget = QtWidgets.QCheckBox(self._bridge.say(field["key"]))
            widget.setChecked(value)
        else:
            widget = QtWidgets.QLineEdit(value)
            widget.textChanged.connect(self._changed)
        return widget

    def chosen(self) -> dict:
        """Give the settings as they stand."""
        values = {}
        for field in self._bridge.fields(self._action):
            widget = self._widgets[field["key"]]
            reads = {"choice": "currentData", "count": "value", "flag": "isChecked"}
            values[field["key"]] = getattr(widget, reads.get(field["kind"], "text"))()
        return values

    def _changed(self, *_: object) -> None:
        chosen = self.chosen()
        for field in self._bridge.fields(self._action):
            self._widgets[field["key"]].setEnabled(self._bridge.applies(field, chosen))
        if self._source is not None:
            self._delay.start()

    def _begin_preview(self) -> None:
        if self._task is not None and not self._task.done:
            if not self._previewing:
                return
            self._task.cancel()
        self._start(SIDE)

    def _begin(self) -> None:
        self._delay.stop()
        if self._task is not None and not self._task.done:
            self._task.cancel()
        self._form.setEnabled(False)
        self._ok.setEnabled(False)
        self._say(self._bridge.say("working"))
        self._start(0)

    def _start(self, side: int) -> None:
        self._previewing = side > 0
        source = self._source
        picture = None if source is None else (source.width, source.height, self._path)
        request = self._bridge.request(self._action, self.chosen(), picture, side)
        try:
            self._task = self._bridge.start(request, b"" if source is None else source.pixels)
            self._beat.start()
        except Trouble as trouble:
            self._stand(self._bridge.explain(trouble))

    def _look(self) -> None:
        done = self._task.poll()
        if not self._previewing:
            self._bar.setValue(int(self._task.progress * 100))
        if not done:
            return
        self._beat.stop()
        if self._task.trouble is not None:
            self._stand(self._bridge.explain(self._task.trouble))
        elif self._previewing:
            self._show(self._task.made)
        elif self._task.made is not None:
            self.made = self._task.made
            kept = memory.text(self._bridge, self._action, self.chosen())
            Krita.instance().writeSetting(SETTINGS, self._action, kept)
            self.accept()

    def _say(self, words: str) -> None:
        """Show words, and grow by what they need: a dialog does not by itself."""
        self._said.setText(words)
        needed = self.layout().totalHeightForWidth(self.width())
        self.resize(self.width(), max(self.height(), needed))

    def _stand(self, words: str) -> None:
        """Say what is wrong and let it be put right."""
        self._preview.clear()
        self._bar.setValue(0)
        self._say(words)
        self._form.setEnabled(True)
        self._ok.setEnabled(True)

    def _show(self, made: Made) -> None:
        width, height = made.size
        whole = QtGui.QImage(width, height, QtGui.QImage.Format.Format_RGBA8888)
        whole.fill(QtCore.Qt.GlobalColor.white)
        painter = QtGui.QPainter(whole)
        for pixels in made.layers.values():
            layer = QtGui.QImage(pixels, width, height, width * 4, QtGui.QImage.Format.Format_RGBA8888)
            painter.drawImage(0, 0, layer)
        painter.end()
        self._preview.setPixmap(QtGui.QPixmap.fromImage(whole))
        self._say(self._bridge.sentence(self._action, made.facts))


def _row(dialog: Any, widget: Any, kind: str, choose: str) -> Any:  # noqa: ANN401
    """Give a setting with a button beside it where a file or folder is chosen."""
    if kind not in {"file", "folder"}:
        return widget
    button = QtWidgets.QPushButton(choose)

    def ask() -> None:
        dialogs = QtWidgets.QFileDialog
        found = dialogs.getOpenFileName(dialog)[0] if kind == "file" else dialogs.getExistingDirectory(dialog)
        if found:
            widget.setText(found)

    button.clicked.connect(ask)
    row = QtWidgets.QHBoxLayout()
    row.addWidget(widget)
    row.addWidget(button)
    return row
