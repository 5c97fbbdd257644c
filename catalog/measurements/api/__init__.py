"""Instruments, weighings and what balances send, as the API reads and writes them."""

from catalog.measurements.api.instruments import Calibrations, Instruments
from catalog.measurements.api.readings import Readings
from catalog.measurements.api.weighings import Weighings

__all__ = ["Calibrations", "Instruments", "Readings", "Weighings"]
