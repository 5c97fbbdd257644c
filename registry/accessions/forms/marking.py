"""How a number was put on an object, and what became of it."""

from __future__ import annotations

from typing import Any

from catalog.ground import fields as f
from catalog.people.models import Person
from registry.accessions.forms.coming_in import whom
from registry.accessions.rules.marking import METHODS, MarkingSaid


class MarkingForm(f.Form):
    """How, where, with what, by whom, and whether it reads."""

    what = "marking"
    method = f.PicksField("How was it put on?", choices=METHODS, wanted="Say how the number was put on it.")
    where = f.TextLine("Where on the object?", required=False, hint="Under the base, on the sprue, on the mount.")
    with_what = f.TextLine("With what?", required=False, hint="Barrier, ink, cord, tag.")
    by = f.ChooserField("Who did it, if not you?", kind="person", required=False)
    on = f.ExactDayField("When, if not today?", required=False, past_only=True)
    read_back = f.PicksField(
        "Did somebody read it back?", choices=[("yes", "Yes, it reads as it should"), ("no", "Not yet")]
    )

    def clean_by(self) -> Person | None:
        person, words = whom(self.cleaned_data["by"])
        if words:
            self.add_error("by", f"“{words}” is not a person we know. Choose one from the list, or leave it empty.")
        return person

    def said(self) -> MarkingSaid:
        typed: dict[str, Any] = self.cleaned_data
        names = ("method", "where", "with_what", "by", "on")
        return MarkingSaid(**{n: typed[n] for n in names}, read_back=typed["read_back"] == "yes")


class GoneForm(f.Form):
    """The number is no longer on the object."""

    what = "loss of the number"
    why = f.TextLine(
        "What became of it?", hint="Washed off, torn off, taken off for a repair.", wanted="Write what became of it."
    )
    on = f.ExactDayField("When, if not today?", required=False, past_only=True)
