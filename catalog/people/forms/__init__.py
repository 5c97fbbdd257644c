"""Forms about people, by which they come in, and of the collection's own decisions."""

from catalog.people.forms.deciding import DecidesForm, NumbersForm, OursForm, SettingsForm, YouForm
from catalog.people.forms.persons import InviteForm, LeaveForm, PersonForm, RolesForm, TokenForm
from catalog.people.forms.signing import (
    AgainForm,
    CodeForm,
    ComeInForm,
    NewPasswordForm,
    OwnForm,
    PasskeyForm,
    PressForm,
    ResetForm,
    SignInForm,
)

__all__ = [
    "AgainForm",
    "CodeForm",
    "ComeInForm",
    "DecidesForm",
    "InviteForm",
    "LeaveForm",
    "NewPasswordForm",
    "NumbersForm",
    "OursForm",
    "OwnForm",
    "PasskeyForm",
    "PersonForm",
    "PressForm",
    "ResetForm",
    "RolesForm",
    "SettingsForm",
    "SignInForm",
    "TokenForm",
    "YouForm",
]
