"""What was measured is never written over."""

from catalog.ground.guards import guard, never_changes, piece_of_its_cast

guard(
    never_changes("catalog_measurement", "A measurement is never changed. Write another that replaces it."),
    never_changes("catalog_calibration", "A calibration is never changed. Write a later one."),
    never_changes("catalog_balancereading", "What a balance sent is never changed. It sends another."),
    piece_of_its_cast("catalog_measurement"),
)
