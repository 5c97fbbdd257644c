"""Queries about digs, places, lots and bags that pages, the API, papers and other rooms share."""

from catalog.excavations.reads.bags import bag_at, bags, lift_at, lifts, open_lifts, with_state
from catalog.excavations.reads.digs import (
    dig_of,
    excavation_at,
    excavations,
    leave_of,
    notes_on,
    nth_of,
    permit_at,
    permits,
    person_meant,
)
from catalog.excavations.reads.lots import ledger, lot_at, lots, pours
from catalog.excavations.reads.places import (
    exact_place,
    exact_places,
    is_placed,
    places_as_read,
    places_of_site,
    site_at,
    sites,
)

__all__ = [
    "bag_at",
    "bags",
    "dig_of",
    "exact_place",
    "exact_places",
    "excavation_at",
    "excavations",
    "is_placed",
    "leave_of",
    "ledger",
    "lift_at",
    "lifts",
    "lot_at",
    "lots",
    "notes_on",
    "nth_of",
    "open_lifts",
    "permit_at",
    "permits",
    "person_meant",
    "places_as_read",
    "places_of_site",
    "pours",
    "site_at",
    "sites",
    "with_state",
]
