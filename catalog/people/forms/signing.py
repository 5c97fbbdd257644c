"""Coming in: name and password, codes, passkeys, a new password."""

from __future__ import annotations

import json
from typing import Any

from django import forms

from catalog.ground.fields import Form, PicksField, TextLine
from catalog.ground.refusal import Reason, Refusal
from catalog.people.forms.base import PasswordField
from catalog.people.said import OwnSettingsSaid


class SignInForm(Form):
    what = "sign-in"
    name = TextLine(
        "Name or e-mail", most=254, autocomplete="username", wanted="Write your name or your e-mail address."
    )
    password = PasswordField()
    next = forms.CharField(required=False, max_length=2000, widget=forms.HiddenInput)


class AgainForm(Form):
    """The password once more, before what cannot be taken back."""

    password = PasswordField(required=False)
    next = forms.CharField(required=False, max_length=2000, widget=forms.HiddenInput)


class CodeForm(Form):
    """Six figures of the app, or one of the eight recovery codes."""

    code = TextLine(
        "Code",
        most=20,
        figures=True,
        autocomplete="one-time-code",
        inputmode="numeric",
        wanted="Write the code of the app.",
    )

    def clean_code(self) -> str:
        return "".join(c for c in str(self.cleaned_data["code"]) if c.isalnum())


class PasskeyForm(forms.Form):
    """What the device answered; `credential` is its JSON."""

    credential = forms.CharField(max_length=20_000)
    name = forms.CharField(required=False, max_length=100)

    def answer(self) -> dict[str, Any]:
        """The device's answer; Refusal where it is none."""
        try:
            said = json.loads(self.data.get("credential", "")) if self.is_valid() else None
        except ValueError:
            said = None
        if not isinstance(said, dict):
            raise Refusal(Reason("The device gave no passkey. Try it once more, or use your password."))
        return said


class ResetForm(Form):
    name = TextLine(
        "Name or e-mail", most=254, autocomplete="username", wanted="Write your name or your e-mail address."
    )


class NewPasswordForm(Form):
    """A new password; the present one beside it where it is asked for."""

    what = "password"
    present = PasswordField("The password you have now")
    password = PasswordField("The new password", new=True)

    def __init__(self, *args: Any, ask_present: bool = False, **rest: Any) -> None:
        super().__init__(*args, **rest)
        if not ask_present:
            del self.fields["present"]


class PressForm(Form):
    """A press with nothing to fill in: only its key, so that it happens once."""


class ComeInForm(Form):
    """Somebody who was invited."""

    what = "account"
    name = TextLine("Your name", most=150, autocomplete="name", hint="As it stands in records; you sign in with it.")
    password = PasswordField("A password", new=True)


class OwnForm(Form):
    what = "choice"
    email = TextLine(
        "E-mail",
        most=254,
        required=False,
        autocomplete="email",
        hint="For a new password and for what you ask to be told.",
    )
    light = PicksField("Light", choices=[("device", "As this device has it"), ("light", "Always light")])
    decimal = PicksField(
        "Figures are shown", choices=[("collection", "As the collection has it"), ("point", "1.5"), ("comma", "1,5")]
    )
    keys = PicksField("Single keys, such as / for finding", choices=[("on", "On"), ("off", "Off")])

    def said(self) -> OwnSettingsSaid:
        data = self.cleaned_data
        comma = {"point": False, "comma": True}.get(data["decimal"])
        return OwnSettingsSaid(data["email"], data["light"] == "light", data["keys"] == "on", comma)
