"""Every write about casts, their numbers, determinations, pieces, faces and joins."""

from catalog.casts.actions.breaking import Broken, Part, break_piece, damage_body, take_back_breaking
from catalog.casts.actions.casts import (
    add_former_number,
    close_cast,
    describe_cast,
    describe_with_numbers,
    hold_cast,
    name_person,
    record_cast,
    renumber_cast,
    set_published,
    undo_change,
)
from catalog.casts.actions.corrections import crumb_to_piece, give_to_cast, part_number, put_back, strike_off
from catalog.casts.actions.determinations import accept_determination, determine
from catalog.casts.actions.faces import add_face, divide_face, measure_face, place_face
from catalog.casts.actions.joins import break_joins, change_join, join_faces, refuse_fit
from catalog.casts.actions.pieces import add_pieces, describe_piece, keep_crumbs
from catalog.casts.actions.weighing import set_mass

__all__ = [
    "Broken",
    "Part",
    "accept_determination",
    "add_face",
    "add_former_number",
    "add_pieces",
    "break_joins",
    "break_piece",
    "change_join",
    "close_cast",
    "crumb_to_piece",
    "damage_body",
    "describe_cast",
    "describe_piece",
    "describe_with_numbers",
    "determine",
    "divide_face",
    "give_to_cast",
    "hold_cast",
    "join_faces",
    "keep_crumbs",
    "measure_face",
    "name_person",
    "part_number",
    "place_face",
    "put_back",
    "record_cast",
    "refuse_fit",
    "renumber_cast",
    "set_mass",
    "set_published",
    "strike_off",
    "take_back_breaking",
    "undo_change",
]
