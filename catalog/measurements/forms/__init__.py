"""What was typed about instruments and weighings."""

from catalog.measurements.forms.instruments import CalibrationForm, InstrumentForm
from catalog.measurements.forms.weighings import WeighForm

__all__ = ["CalibrationForm", "InstrumentForm", "WeighForm"]
