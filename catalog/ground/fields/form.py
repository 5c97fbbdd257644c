"""The base of every form: version and key go with it, sections lay it out, a failed act is summed up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import ClassVar
from uuid import uuid4

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.forms import BoundField

from catalog.ground import say


@dataclass(frozen=True)
class Section:
    """Fields that answer one question. `folded`: behind a summary, for what can follow later."""

    question: str
    names: list[str]
    hint: str = ""
    folded: bool = False


@dataclass(frozen=True)
class LaidOut:
    question: str
    fields: list[BoundField]
    hint: str = ""
    folded: bool = False

    @property
    def open(self) -> bool:
        """A folded section stands open when something in it is filled in or wrong."""
        return any(f.errors or (f.value() not in (None, "", [], False) and str(f.value())) for f in self.fields)


@dataclass(frozen=True)
class Line:
    label: str
    sentence: str
    href: str = ""
    remedy: str = ""

    @property
    def words(self) -> str:
        """`To be back by: 7 June is over. …`, `How did it come? Choose one of these.`"""
        return f"{self.label}{'' if self.label.endswith('?') else ':'} {self.sentence}" if self.label else self.sentence


@dataclass(frozen=True)
class Summary:
    say: str
    rest: str
    lines: list[Line] = field(default_factory=list)


class Form(forms.Form):
    """`what` names in a sentence what is written ("entry"); `pencil` the draft on this device; `outbox` the API's address
    that takes the form's fields when it was filled in without signal.
    """

    what: ClassVar[str] = ""
    sections: ClassVar[list[Section]] = []
    pencil: str = ""
    outbox: str = ""

    version = forms.IntegerField(required=False, widget=forms.HiddenInput)
    key = forms.CharField(required=False, max_length=128, widget=forms.HiddenInput, initial=lambda: uuid4().hex)

    def laid_out(self) -> Iterator[LaidOut]:
        """The visible fields in their sections; what no section names comes first, under no question."""
        named = {name for section in self.sections for name in section.names}
        if free := [f for f in self.visible_fields() if f.name not in named]:
            yield LaidOut("", free)
        for section in self.sections:
            shown = [self[name] for name in section.names if name in self.fields]
            yield LaidOut(section.question, shown, section.hint, section.folded)

    def clean_key(self) -> str:
        """A press without a key counts as its own."""
        return self.cleaned_data["key"] or uuid4().hex

    def summary(self) -> Summary:
        """What was not written, how many places want something, and each of them with its link."""
        lines = [line for name, errors in self.errors.as_data().items() for line in self._lines(name, errors)]
        n = len({line.href or line.sentence for line in lines})
        not_written = f"The {self.what} is not written." if self.what else "Nothing was written."
        wanted = "One place wants you." if n == 1 else f"{say.capital(say.number_word(n))} places want you."
        rest = (
            "All you wrote is still here; choose the files once more." if self.files else "All you wrote is still here."
        )
        return Summary(f"{not_written} {wanted}", rest, lines)

    def _lines(self, name: str, errors: list[ValidationError]) -> Iterator[Line]:
        bound = self[name] if name != NON_FIELD_ERRORS and name in self.fields else None
        for error in errors:
            remedy = (getattr(error, "params", None) or {}).get("remedy") or ""
            sentence = " ".join(error.messages)
            if bound is None or bound.is_hidden:
                yield Line("", sentence, remedy=remedy)
            else:
                yield Line(str(bound.label), sentence, f"#{anchor(bound)}", remedy)


def anchor(bound: BoundField) -> str:
    """The id that a link to this field leads to."""
    return f"{bound.auto_id}_group" if bound.use_fieldset else bound.id_for_label
