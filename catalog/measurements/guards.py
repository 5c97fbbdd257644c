"""What was measured is never written over."""

from catalog.ground.guards import guard, never_changes, piece_of_its_cast

guard(
    never_changes("catalog_measurement", "A measurement is never changed. Write another that replaces it."),
    never_changes("catalog_calibration", "A calibration is never changed. Write a later one."),
    piece_of_its_cast("catalog_measurement"),
)
