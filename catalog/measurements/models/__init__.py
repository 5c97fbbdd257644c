"""Records of this room, a file a noun."""

from catalog.measurements.models.instruments import Calibration, Instrument
from catalog.measurements.models.measurements import QUANTITIES, BalanceReading, Measurement

__all__ = ["QUANTITIES", "BalanceReading", "Calibration", "Instrument", "Measurement"]
