"""Every write about places: the tree, movements, home places, custody."""

from registry.places.actions.custody import take_custody
from registry.places.actions.mending import correct_movement, undo_movement
from registry.places.actions.moving import leave_house, move, set_home
from registry.places.actions.tree import add_place, change_place, close_place, open_place

__all__ = [
    "add_place",
    "change_place",
    "close_place",
    "correct_movement",
    "leave_house",
    "move",
    "open_place",
    "set_home",
    "take_custody",
    "undo_movement",
]
