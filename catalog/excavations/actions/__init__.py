"""Every write about sites, permits, digs and their places, lots and pours, lifts and bags."""

from catalog.excavations.actions.digs import change_excavation, record_excavation
from catalog.excavations.actions.lifting import close_bag, make_bags, record_lift, tie_bag
from catalog.excavations.actions.material import move_material, open_lot, record_pour
from catalog.excavations.actions.placing import place_excavation
from catalog.excavations.actions.sites import add_permit, change_permit, change_site, name_site, raise_category
from catalog.excavations.actions.whole import write_dig

__all__ = [
    "add_permit",
    "change_excavation",
    "change_permit",
    "change_site",
    "close_bag",
    "make_bags",
    "move_material",
    "name_site",
    "open_lot",
    "place_excavation",
    "raise_category",
    "record_excavation",
    "record_lift",
    "record_pour",
    "tie_bag",
    "write_dig",
]
