"""What was typed about the state of things."""

from registry.condition.forms.begin_examination import begin_draft, begin_new
from registry.condition.forms.examinations import ExaminationForm
from registry.condition.forms.restrictions import LiftForm, RestrictionForm

__all__ = ["ExaminationForm", "LiftForm", "RestrictionForm", "begin_draft", "begin_new"]
