"""Runs inside Krita without windows: opens pictures, calls the plug-in, leaves what came of it in files.

``kritarunner`` ends with 0 whatever happens, so that all is told in a file: the arguments are the cases and
where to tell.
"""

import json
import traceback
from pathlib import Path


def main(arguments):
    cases, told = json.loads(Path(arguments[0]).read_text()), []
    try:
        for case in cases:
            told.append(_tried(case))
    except BaseException:
        told.append({"broken": traceback.format_exc()})
    Path(arguments[1]).write_text(json.dumps(told))


def _tried(case):
    from squarewright_krita.bridge import Trouble

    try:
        return _done(case)
    except Trouble as trouble:
        return {"trouble": trouble.code}


def _done(case):
    from krita import Krita, Selection
    from squarewright_krita import extension, pixels
    from squarewright_krita.bridge import Bridge

    krita = Krita.instance()
    krita.setBatchmode(True)
    bridge = Bridge(extension.FOLDER, "en")
    if case["action"] == "palette":
        made = bridge.start(bridge.request("palette", case["settings"])).wait()
        said = extension.finish(bridge, "palette", None, None, made)
        # Without windows Krita's data lie in a folder called after the program that runs.
        place = Path(Krita.getAppDataLocation()) / "palettes" / "squarewright-paints.gpl"
        return {"said": said, "palette": place.read_text(encoding="utf-8")}
    document = node = None
    if case.get("file"):
        document = krita.openDocument(case["file"])
        document.setBatchmode(True)
        if case.get("space"):
            document.setColorSpace(*case["space"])
            document.waitForDone()
        node = document.topLevelNodes()[0]
        if case.get("moved"):
            node.move(*case["moved"])
            document.refreshProjection()
        if case.get("emptied"):
            node = document.createNode("empty", "paintlayer")
            document.rootNode().addChildNode(node, None)
        if case.get("mask"):
            node = (
                document.createTransparencyMask("m")
                if hasattr(document, "createTransparencyMask")
                else (document.createFilterMask("m", krita.filter("invert"), Selection()))
            )
        if case.get("selected"):
            selection = Selection()
            x, y, width, height, value = case["selected"]
            selection.select(x, y, width, height, value)
            document.setSelection(selection)
    source = pixels.read(document, node)
    out = Path(case["out"])
    out.mkdir()
    (out / "source.rgba").write_bytes(source.pixels)
    settings = {**bridge.defaults(case["action"]), **case["settings"]}
    request = bridge.request(case["action"], settings, (source.width, source.height, document.fileName()))
    made = bridge.start(request, source.pixels).wait()
    before = [each.name() for each in document.topLevelNodes()]
    said = extension.finish(bridge, case["action"], document, source, made)
    document.waitForDone()
    top = document.topLevelNodes()[-1]
    nodes = top.childNodes() if top.type() == "grouplayer" else [top]
    box = (source.left, source.top, source.width, source.height)
    for number, each in enumerate(nodes):
        assert (each.colorModel(), each.colorDepth()) == ("RGBA", "U8")
        (out / f"{number}.rgba").write_bytes(bytes(pixels._swapped(bytes(each.pixelData(*box)))))
    after = [each.name() for each in document.topLevelNodes()]
    document.close()
    return {
        "said": said,
        "box": box,
        "layers": [each.name() for each in nodes],
        "added": after[len(before) :],
        "kind": top.type(),
        "engine": "b" if "squarewright.editors.work" not in __import__("sys").modules else "a",
        "numpy": "numpy" in __import__("sys").modules,
    }
