"""What hinders an instrument, a calibration, a weighing. Pure: facts in, sentences out."""

from catalog.measurements.rules.instruments import (
    DOUBT,
    IN_DATE,
    NONE,
    OVERDUE,
    CalibrationFacts,
    hinders_calibration,
    hinders_instrument,
    in_date,
)
from catalog.measurements.rules.weighings import WeighingFacts, hinders_repeat, hinders_weighing

__all__ = [
    "DOUBT",
    "IN_DATE",
    "NONE",
    "OVERDUE",
    "CalibrationFacts",
    "WeighingFacts",
    "hinders_calibration",
    "hinders_instrument",
    "hinders_repeat",
    "hinders_weighing",
    "in_date",
]
