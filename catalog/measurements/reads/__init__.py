"""Queries about instruments and measurements."""

from catalog.measurements.reads.instruments import (
    balance_of,
    in_date,
    in_date_of,
    instrument_at,
    instrument_of_token,
    instrument_said,
    instruments,
    listening,
)
from catalog.measurements.reads.weighings import (
    Drying,
    drying_of,
    newest_mass,
    newest_of,
    readings_waiting,
    weighings,
    weighings_all,
    weighings_of,
)

__all__ = [
    "Drying",
    "balance_of",
    "drying_of",
    "in_date",
    "in_date_of",
    "instrument_at",
    "instrument_of_token",
    "instrument_said",
    "instruments",
    "listening",
    "newest_mass",
    "newest_of",
    "readings_waiting",
    "weighings",
    "weighings_all",
    "weighings_of",
]
