"""An old number leads to its cast for ever; a former number's piece is a piece of its cast."""

from catalog.ground.guards import guard, never_changes, piece_of_its_cast

guard(
    never_changes("catalog_oldnumber", "An old number leads to its cast for ever."),
    piece_of_its_cast("catalog_formernumber"),
)
