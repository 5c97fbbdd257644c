"""A lot's ledger only grows."""

from catalog.ground.guards import guard, never_changes

guard(never_changes("catalog_lotentry", "A line of a lot's ledger is never changed. Write a correcting line."))
