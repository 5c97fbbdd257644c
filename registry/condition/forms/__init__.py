"""What was typed about the state of things."""

from registry.condition.forms.restrictions import LiftForm, RestrictionForm

__all__ = ["LiftForm", "RestrictionForm"]
