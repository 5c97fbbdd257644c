"""An inspection, support by support, and an engineer's word, as typed. The fields bear the API's names: without signal they go there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django import forms

from catalog.ground import fields as f
from catalog.people.models import Person
from registry.mounts.forms.mounts import ActedForm, meant
from registry.mounts.models import EngineersWord, MountInspection, Support
from registry.mounts.rules.inspections import SIGNS
from registry.mounts.said import FoundSaid, InspectionSaid, WordSaid
from registry.places import reads as places

_ROUND = [(k, w.capitalize()) for k, w in MountInspection.ROUND]


class InspectionForm(ActedForm):
    """Each support with nothing chosen beforehand, then what is round it, then who looked."""

    what = "inspection"
    outbox = "/api/v1/inspections/"
    mount = forms.CharField(widget=forms.HiddenInput)
    clearance = f.PicksField("The way round it", choices=_ROUND, required=False)
    barrier = f.PicksField("The barrier", choices=_ROUND, required=False)
    action = f.Words("What is to be done?", required=False, rows=2)
    note = f.Words("Notes", required=False, rows=2)
    competence = f.TextLine(
        "What makes you fit to judge it?",
        hint="Trained by whom, trade, years.",
        wanted="Write what makes you fit to judge it.",
    )
    by = f.ChooserField("Who looked, if it was not you?", kind="person", required=False)
    on = f.ExactDayField("When, if not today?", required=False, past_only=True)
    next_due = f.ExactDayField("When is it inspected next?", required=False, hint="Left empty: by its interval.")

    def __init__(self, *args: Any, supports: Sequence[Support], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.numbers = [s.number for s in supports]
        for number in self.numbers:
            self.fields |= _of_support(number)

    def steps(self) -> Iterator[dict[str, Any]]:
        """One support after the other, with its fields."""
        for n, number in enumerate(self.numbers, 1):
            fields = [self[f"{name}_{number}"] for name in ("state", "signs", "note")]
            yield {"number": number, "n": n, "fields": fields, "wrong": any(one.errors for one in fields)}

    def last(self) -> list[Any]:
        names = ("clearance", "barrier", "action", "note", "competence", "by", "on", "next_due")
        return [self[n] for n in names]

    def clean_by(self) -> Person | None:
        return meant(self, "by", places.person_said)  # type: ignore[no-any-return]

    def said(self) -> InspectionSaid:
        typed = self.cleaned_data
        found = tuple(
            FoundSaid(n, typed[f"state_{n}"], tuple(typed[f"signs_{n}"]), typed[f"note_{n}"]) for n in self.numbers
        )
        names = ("competence", "on", "by", "clearance", "barrier", "action", "note", "next_due")
        return InspectionSaid(found=found, **{n: typed[n] for n in names})


def _of_support(number: str) -> dict[str, forms.Field]:
    return {
        f"state_{number}": f.PicksField(
            f"How is support {number}?",
            choices=[(k, w.capitalize()) for k, w in Support.STATES],
            wanted=f"Say how support {number} is.",
        ),
        f"signs_{number}": f.ManyPicksField(
            "What is wrong there?", choices=[(k, w.capitalize()) for k, w in SIGNS.items()], required=False
        ),
        f"note_{number}": f.TextLine("In words", most=500, required=False),
    }


class WordForm(f.Form):
    """What a qualified engineer said, and where the paper is."""

    what = "engineer's word"
    engineer = f.TextLine("Which engineer?", wanted="Write the engineer's name.")
    qualification = f.TextLine("Licence or qualification", wanted="Write the engineer's licence or qualification.")
    on = f.ExactDayField("When was it said?", past_only=True)
    says = f.PicksField("What does the engineer say?", choices=[(k, w.capitalize()) for k, w in EngineersWord.SAYS])
    conditions = f.Words("Under which conditions?", required=False, rows=3)
    paper = f.TextLine("Which paper says so, and where does it lie?", most=300, wanted="Write which paper says so.")

    def said(self) -> WordSaid:
        typed = self.cleaned_data
        return WordSaid(**{n: typed[n] for n in ("engineer", "qualification", "on", "says", "paper", "conditions")})
