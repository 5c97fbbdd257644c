"""What was typed about entries, cases, numbers and the register, read into what the actions take."""

from registry.accessions.forms.coming_in import ChangeEntryForm, EntryForm, ObjectForm
from registry.accessions.forms.ending import GiveBackForm, RefuseForm, SameAsForm, TeachingForm
from registry.accessions.forms.keeping import AccessionForm, DecisionForm, ProposalForm, TitleForm, WitnessForm
from registry.accessions.forms.register import CorrectionForm, TranscribeForm, VoidForm

__all__ = [
    "AccessionForm",
    "ChangeEntryForm",
    "CorrectionForm",
    "DecisionForm",
    "EntryForm",
    "GiveBackForm",
    "ObjectForm",
    "ProposalForm",
    "RefuseForm",
    "SameAsForm",
    "TeachingForm",
    "TitleForm",
    "TranscribeForm",
    "VoidForm",
    "WitnessForm",
]
