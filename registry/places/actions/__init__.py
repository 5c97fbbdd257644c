"""Every write about places: the tree, movements, home places, custody."""

from registry.places.actions.custody import take_custody
from registry.places.actions.mending import correct_movement, undo_movement
from registry.places.actions.moving import leave_house, move, set_home
from registry.places.actions.trays import (
    Weighed,
    begin_tray,
    change_tray,
    keep_tray_crumbs,
    save_row,
    save_rows,
    settle_doubt,
    take_into_tray,
)
from registry.places.actions.tree import add_place, change_place, close_place, open_place

__all__ = [
    "Weighed",
    "add_place",
    "begin_tray",
    "change_place",
    "change_tray",
    "close_place",
    "correct_movement",
    "keep_tray_crumbs",
    "leave_house",
    "move",
    "open_place",
    "save_row",
    "save_rows",
    "set_home",
    "settle_doubt",
    "take_custody",
    "take_into_tray",
    "undo_movement",
]
