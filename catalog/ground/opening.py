"""Opens the rooms of a wing, bottom first, so that the order of answers is the order of the house."""

from importlib import import_module
from importlib.util import find_spec

_PIECES = ["sight", "guards", "answers", "tasks"]


def open_rooms(wing: str, rooms: list[str]) -> None:
    """Imports what each room says of itself: its sight, its guards, its answers, its tasks."""
    for room in rooms:
        for piece in _PIECES:
            name = f"{wing}.{room}.{piece}"
            if find_spec(name):
                import_module(name)
