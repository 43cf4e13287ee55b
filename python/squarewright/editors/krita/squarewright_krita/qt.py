"""Qt as this Krita has it: version 5 or 6."""

import contextlib
import importlib

import krita

_qt_major = getattr(krita, "qt_major_version", None)
with contextlib.suppress(ImportError):
    from pykrita import qt_major_version as _qt_major
MAJOR = int(_qt_major()) if callable(_qt_major) else 5

QtCore, QtGui, QtWidgets = (
    importlib.import_module(f"PyQt{MAJOR}.{name}") for name in ("QtCore", "QtGui", "QtWidgets")
)
