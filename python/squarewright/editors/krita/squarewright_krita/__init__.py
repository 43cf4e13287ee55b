"""Squarewright in Krita: the actions under Tools > Scripts."""

from krita import Krita

from .extension import Squarewright

Krita.instance().addExtension(Squarewright(Krita.instance()))
