"""An inspection and an engineer's word never change; a piece on a mount is of its cast."""

from catalog.ground.guards import guard, never_changes, piece_of_its_cast

guard(
    never_changes("registry_mountinspection", "An inspection is never edited. Write a later one."),
    never_changes("registry_supportfound", "An inspection is never edited. Write a later one."),
    never_changes("registry_engineersword", "An engineer's word is never edited. Write a later one."),
    piece_of_its_cast("registry_mounted"),
)
