"""What was typed about mounts."""

from registry.mounts.forms.inspections import InspectionForm, WordForm
from registry.mounts.forms.mounts import ChangeMountForm, MountForm, PutOnForm, SupportForm, TakeAwayForm, TakeOffForm

__all__ = [
    "ChangeMountForm",
    "InspectionForm",
    "MountForm",
    "PutOnForm",
    "SupportForm",
    "TakeAwayForm",
    "TakeOffForm",
    "WordForm",
]
