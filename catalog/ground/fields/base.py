"""What all fields share: the template of a field, and what was understood, said back under it."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.utils.functional import cached_property

FIELD_TEMPLATE = "look/parts/field.html"


class Answer(BoundField):
    """A field on a form. `read_back`: what was understood of what was typed, empty where that says nothing new."""

    @cached_property
    def read_back(self) -> str:
        if not self.form.is_bound or self.errors or not isinstance(self.field, Asks):
            return ""
        return self.field.read_back(self.form.cleaned_data.get(self.name))


class Asks(forms.Field):
    """Mixed into each of our fields. `wanted` is the sentence for an empty one that must be filled in."""

    wanted = "Write something here."

    def __init__(self, label: str = "", *, hint: str = "", wanted: str = "", **rest: Any) -> None:
        sentences = {"required": wanted or self.wanted, "invalid": wanted or self.wanted}
        rest["error_messages"] = sentences | rest.get("error_messages", {})
        super().__init__(label=label or None, help_text=hint, template_name=FIELD_TEMPLATE, **rest)

    def get_bound_field(self, form: forms.BaseForm, field_name: str) -> Answer:
        return Answer(form, self, field_name)

    def read_back(self, value: Any) -> str:
        return ""


def refuse(error: ValueError | str) -> ValidationError:
    """One sentence of a calculation, as the error of a field."""
    return ValidationError(str(error))
