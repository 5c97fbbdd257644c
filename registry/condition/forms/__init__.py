"""What was typed about the state of things."""

from registry.condition.forms.begin_examination import begin_draft, begin_new
from registry.condition.forms.breakages import BreakageForm, JoinsForm, LooseForm, MassesForm
from registry.condition.forms.examinations import ExaminationForm
from registry.condition.forms.incidents import DecisionForm, FoundForm, MissingForm, TakeBackForm
from registry.condition.forms.restrictions import LiftForm, RestrictionForm

__all__ = [
    "BreakageForm",
    "DecisionForm",
    "ExaminationForm",
    "FoundForm",
    "JoinsForm",
    "LiftForm",
    "LooseForm",
    "MassesForm",
    "MissingForm",
    "RestrictionForm",
    "TakeBackForm",
    "begin_draft",
    "begin_new",
]
