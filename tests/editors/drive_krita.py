"""Drives the plug-in in Krita's window, as a second plug-in that is on in tests alone."""

import json
import os
import traceback
from pathlib import Path

from krita import Extension, Krita
from PyQt5.QtCore import QTimer
from PyQt5.QtWidgets import QApplication, QLineEdit, QPushButton, QSpinBox

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

        # Two layers: a sentence.
        view = krita.activeWindow().activeView()
        second = document.createNode("second", "paintlayer")
        document.rootNode().addChildNode(second, None)
        yield lambda: len(document.topLevelNodes()) == 2
        krita.action("select_all_layers") and krita.action("select_all_layers").trigger()
        yield lambda: len(view.selectedNodes()) == 2
        later("squarewright_plan")
        yield lambda: shown("squarewright-trouble") is not None
        TOLD["two"], TOLD["two_words"] = "squarewright-trouble", shown("squarewright-trouble").text()
        shown("squarewright-trouble").accept()
        second.remove()
        document.setActiveNode(document.topLevelNodes()[0])
        yield lambda: len(document.topLevelNodes()) == 1 and len(view.selectedNodes()) == 1

        # Called off at once: nothing comes of it.
        later("squarewright_pixelate")
        yield lambda: shown("squarewright-pixelate") is not None
        dialog = shown("squarewright-pixelate")
        dialog.findChild(QPushButton, "ok").click()
        dialog.findChild(QPushButton, "cancel").click()
        yield lambda: shown("squarewright-pixelate") is None
        TOLD["cancelled"] = names(document) == TOLD["before"]

        later("squarewright_plan")
        yield lambda: shown("squarewright-plan") is not None
        dialog = shown("squarewright-plan")
        TOLD["form"] = list(dialog._widgets)
        # A wrong length is told in the dialog, and can be put right.
        panel = dialog.findChild(QLineEdit, "panel")
        panel.setText("12 x 12")
        yield lambda: "(SIZE-BAD)" in dialog._said.text()
        panel.setText("12in x 12in")
        dialog.findChild(QSpinBox, "columns").setValue(41)
        yield lambda: dialog._preview.pixmap() is not None and dialog._said.text().startswith("Found")
        ready("dialog")
        yield lambda: (OUT / "dialog.shot").exists()
        source = dialog._source
        (OUT / "source.rgba").write_bytes(source.pixels)
        ticking = QTimer(dialog)
        ticking.timeout.connect(self.beat)
        ticking.start(20)
        dialog.findChild(QPushButton, "ok").click()
        yield lambda: shown("squarewright-said") is not None
        TOLD["beats"] = self.beats
        TOLD["said"] = shown("squarewright-said").text()
        ready("said")
        yield lambda: (OUT / "said.shot").exists()
        shown("squarewright-said").accept()
        yield lambda: shown("squarewright-said") is None
        document.waitForDone()
        ready("result")
        yield lambda: (OUT / "result.shot").exists()
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
        ready("undone")
        yield lambda: (OUT / "undone.shot").exists()
        self.end(TOLD)

    def beat(self):
        self.beats += 1


def names(document):
    return [each.name() for each in document.topLevelNodes()]


def later(action):
    """Choose an entry of the menu; its dialog is modal, so that this must not wait for it."""
    QTimer.singleShot(0, Krita.instance().action(action).trigger)


def shown(name):
    return next((w for w in QApplication.topLevelWidgets() if w.objectName() == name and w.isVisible()), None)


def ready(name):
    QTimer.singleShot(700, lambda: (OUT / f"{name}.ready").touch())


Krita.instance().addExtension(Driver(Krita.instance()))
