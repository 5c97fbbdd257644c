"""Fields that only the door has: a password, a switch, a long list with its names."""

from __future__ import annotations

from typing import Any

from django import forms

from catalog.ground.fields.base import Asks
from catalog.ground.fields.text import Short
from catalog.people.rules import PASSWORD_MOST


class PasswordInput(forms.PasswordInput):
    template_name = "look/widgets/line.html"


class PasswordField(Asks, forms.CharField):
    """A password, old or new -> text as typed, blanks and all. Pasting is allowed; it never comes back in a page."""

    widget = PasswordInput
    wanted = "Write your password."

    def __init__(self, label: str = "Password", *, new: bool = False, **rest: Any) -> None:
        if new:
            rest.setdefault("hint", "At least twelve letters. A few words that belong to nobody else are best.")
            rest.setdefault("wanted", "Write a password of at least twelve letters.")
        super().__init__(label, strip=False, **rest)
        self.validators.append(Short(PASSWORD_MOST))
        self.widget.attrs |= {"class": "in", "autocomplete": "new-password" if new else "current-password"}


class ChoiceList(Asks, forms.ChoiceField):
    """One of many, by the browser's own list; for what has more answers than picks have room."""

    widget = forms.Select
    wanted = "Choose one of the list."

    def __init__(self, label: str = "", *, choices: Any, **rest: Any) -> None:
        rest["error_messages"] = {"invalid_choice": self.wanted} | rest.get("error_messages", {})
        super().__init__(label, choices=choices, **rest)
        self.widget.attrs |= {"class": "in"}
