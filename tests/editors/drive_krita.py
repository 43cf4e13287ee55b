"""Drives the plug-in in Krita's window, as a second plug-in that is on in tests alone."""

import json
import os
import threading
import traceback
from pathlib import Path

from krita import Extension, Krita, Selection
from PyQt5.QtCore import QPoint, QTimer
from PyQt5.QtWidgets import QApplication, QCheckBox, QComboBox, QLineEdit, QMenu, QPushButton, QSpinBox

OUT = Path(os.environ["DRIVEN"])
TOLD = {}


class Driver(Extension):
    def __init__(self, parent):
        super().__init__(parent)
        self.beats = 0
        self.steps = self.go()

    def setup(self):
        krita = Krita.instance()
        krita.notifier().setActive(True)
        krita.notifier().windowCreated.connect(lambda: QTimer.singleShot(4000, self.step))

    def createActions(self, window):
        pass

    def step(self):
        """Go on to the next wait: each step says when it wants to be called again."""
        try:
            ready = next(self.steps)
        except StopIteration:
            return
        except BaseException:
            self.end({"broken": traceback.format_exc()})
            return
        self.wait(ready)

    def wait(self, ready, turns=3000):
        if ready() or turns == 0:
            QTimer.singleShot(50, self.step)
        else:
            QTimer.singleShot(50, lambda: self.wait(ready, turns - 1))

    def end(self, told):
        (OUT / "told.new").write_text(json.dumps(told))
        (OUT / "told.new").rename(OUT / "told.json")
        for window in QApplication.topLevelWidgets():
            if window.objectName().startswith("squarewright-"):
                window.reject()
        document = Krita.instance().activeDocument()
        if document is not None:
            document.setModified(False)
        QTimer.singleShot(500, Krita.instance().action("file_quit").trigger)

    def go(self):
        krita = Krita.instance()
        yield lambda: krita.activeDocument() is not None and krita.activeDocument().activeNode() is not None
        document = krita.activeDocument()
        document.waitForDone()
        TOLD["before"] = names(document)
        TOLD["menu"] = [
            krita.action(f"squarewright_{each}").text() for each in ("plan", "pixelate", "palette")
        ]
        menu = next(w for w in krita.action("squarewright_plan").associatedWidgets() if isinstance(w, QMenu))
        menu.popup(QPoint(500, 200))
        yield from shot("menu")
        menu.hide()

        # Two layers, and a selection where nothing is painted: a sentence each.
        view = krita.activeWindow().activeView()
        second = document.createNode("second", "paintlayer")
        document.rootNode().addChildNode(second, None)
        yield lambda: len(document.topLevelNodes()) == 2
        krita.action("select_all_layers").trigger()
        yield lambda: len(view.selectedNodes()) == 2
        yield from self.refused("two layers")
        second.remove()
        document.setActiveNode(document.topLevelNodes()[0])
        yield lambda: len(document.topLevelNodes()) == 1 and len(view.selectedNodes()) == 1
        corner = Selection()
        corner.select(0, 0, 5, 5, 255)
        document.setSelection(corner)
        yield from self.refused("empty selection")
        document.setSelection(None)

        # Called off at once, and again in the middle of long work.
        later("squarewright_pixelate")
        yield lambda: shown("squarewright-pixelate") is not None
        dialog = shown("squarewright-pixelate")
        dialog.findChild(QPushButton, "ok").click()
        dialog.findChild(QPushButton, "cancel").click()
        yield lambda: shown("squarewright-pixelate") is None
        TOLD["cancelled"] = names(document)
        yield from self.stopped()
        TOLD["stopped"] = names(document)

        later("squarewright_plan")
        yield lambda: shown("squarewright-plan") is not None
        dialog = shown("squarewright-plan")
        say = dialog._bridge.say
        TOLD["form"] = list(dialog._widgets)
        # A wrong length is told in the dialog, and can be put right.
        panel = dialog.findChild(QLineEdit, "panel")
        panel.setText("12 x 12")
        yield lambda: dialog._said.text() == say("trouble.SIZE-BAD")
        yield from shot("wrong")
        panel.setText("12in x 12in")
        dialog.findChild(QSpinBox, "columns").setValue(41)
        dialog.findChild(QComboBox, "paper").setCurrentIndex(1)
        dialog.findChild(QCheckBox, "overwrite").setChecked(True)
        yield lambda: bool(dialog._preview.pixmap()) and "40 × 60" in dialog._said.text()
        TOLD["open"] = [key for key, widget in dialog._widgets.items() if widget.isEnabled()]
        yield from shot("dialog")
        source = dialog._source
        (OUT / "source.rgba").write_bytes(source.pixels)
        dialog.findChild(QPushButton, "ok").click()
        yield lambda: shown("squarewright-said") is not None
        TOLD["said"] = shown("squarewright-said").text()
        yield from shot("said")
        shown("squarewright-said").accept()
        yield lambda: shown("squarewright-said") is None
        document.waitForDone()
        yield from shot("result")
        TOLD["after"] = names(document)
        group = document.topLevelNodes()[-1]
        TOLD["layers"] = [each.name() for each in group.childNodes()]
        TOLD["box"] = [source.left, source.top, source.width, source.height]
        for number, each in enumerate(group.childNodes()):
            data = bytearray(bytes(each.pixelData(*TOLD["box"])))
            data[0::4], data[2::4] = data[2::4], data[0::4]
            (OUT / f"{number}.rgba").write_bytes(bytes(data))
        krita.action("edit_undo").trigger()
        yield lambda: len(document.topLevelNodes()) == len(TOLD["before"])
        document.waitForDone()
        TOLD["undone"] = names(document)
        yield from shot("undone")

        # The next time it begins with what was chosen.
        later("squarewright_plan")
        yield lambda: shown("squarewright-plan") is not None
        TOLD["again"] = shown("squarewright-plan").chosen()
        shown("squarewright-plan").reject()
        yield lambda: shown("squarewright-plan") is None

        document.setModified(False)
        document.close()
        yield lambda: krita.activeDocument() is None
        yield from self.refused("no picture")
        self.end(TOLD)

    def refused(self, what):
        """Choose what there is nothing to do with: no dialog comes, but a sentence."""
        later("squarewright_plan")
        yield lambda: shown("squarewright-trouble") is not None
        TOLD[what] = shown("squarewright-trouble").text()
        yield from shot(what.replace(" ", "-"))
        shown("squarewright-trouble").accept()
        yield lambda: shown("squarewright-trouble") is None

    def stopped(self):
        """Begin what takes long, and let somebody press Cancel, or close the dialog, in the middle of it."""
        later("squarewright_plan")
        yield lambda: shown("squarewright-plan") is not None
        dialog = shown("squarewright-plan")
        dialog.findChild(QComboBox, "door").setCurrentIndex(1)
        for key, value in {"columns": 200, "colours": 64}.items():
            dialog.findChild(QSpinBox, key).setValue(value)
        for key, value in {"panel": "10ft x 16ft", "folder": str(OUT / "stopped")}.items():
            dialog.findChild(QLineEdit, key).setText(value)
        ticking = QTimer(dialog)
        ticking.timeout.connect(self.beat)
        ticking.start(20)
        dialog.findChild(QPushButton, "ok").click()
        yield lambda: dialog._bar.value() > 5
        button = dialog.findChild(QPushButton, "cancel")
        place = button.mapToGlobal(button.rect().center())
        (OUT / "press.json").write_text(json.dumps([place.x(), place.y()]))
        yield from shot("working")
        task = dialog._task
        yield lambda: shown("squarewright-plan") is None
        TOLD["beats"], TOLD["done"] = self.beats, [dialog.made is not None, task.made is not None]
        # The thread or child has left.
        yield lambda: not any(each.name.startswith("squarewright") for each in threading.enumerate())

    def beat(self):
        self.beats += 1


def names(document):
    return [each.name() for each in document.topLevelNodes()]


def later(action):
    """Choose an entry of the menu; its dialog is modal, so that this must not wait for it."""
    QTimer.singleShot(0, Krita.instance().action(action).trigger)


def shown(name):
    return next((w for w in QApplication.topLevelWidgets() if w.objectName() == name and w.isVisible()), None)


def shot(name):
    """Let a picture of the screen be taken, and go on after that."""
    QTimer.singleShot(700, lambda: (OUT / f"{name}.ready").touch())
    yield lambda: (OUT / f"{name}.shot").exists()


Krita.instance().addExtension(Driver(Krita.instance()))
