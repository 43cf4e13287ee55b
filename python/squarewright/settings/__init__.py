"""Settings of a plan: one value, from code, a file, the environment and the command line."""

from squarewright.settings.sources import read_settings
from squarewright.settings.value import Settings

__all__ = ["Settings", "read_settings"]
