"""Every write about instruments and what they measured."""

from catalog.measurements.actions.instruments import add_instrument, calibrate, change_instrument
from catalog.measurements.actions.weighings import keep_reading, weigh, weigh_crumbs

__all__ = [
    "add_instrument",
    "calibrate",
    "change_instrument",
    "keep_reading",
    "weigh",
    "weigh_crumbs",
]
