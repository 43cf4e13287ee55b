"""The wall: many figures, planned as one."""

from squarewright.wall.parts import Pack, Taken, WallFigure
from squarewright.wall.progress import Progress, read_progress
from squarewright.wall.source import read_wall
from squarewright.wall.wall import Wall

__all__ = ["Pack", "Progress", "Taken", "Wall", "WallFigure", "read_progress", "read_wall"]
