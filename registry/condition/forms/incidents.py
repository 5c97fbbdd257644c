"""What is missing, what is found again, what is decided, what is taken back: as typed."""

from __future__ import annotations

from typing import Any

from catalog.ground import fields as f
from registry.condition.forms.breakages import IncidentForm
from registry.condition.said.incidents import DecisionSaid, FoundSaid
from registry.places.models import Place
from registry.places.reads import place_said

_YES_NO = [("yes", "Yes"), ("no", "No")]


class MissingForm(IncidentForm):
    """It cannot be found: where was it looked for, by whom?"""

    what = "incident"
    searched = f.Words(
        "Where was it looked for?", rows=3, hint="Each place with who looked, and when.",
        wanted="Write where it was looked for, if only where it should be.",
    )  # fmt: skip
    told = f.Words("Who was told, and when?", required=False, rows=2)
    sections = [
        f.Section(
            "Noticed now, by you. Change, or add what is known",
            ["noticed_on", "noticed_by", "note", "told"],
            folded=True,
        )
    ]


class FoundForm(IncidentForm):
    """Found again: where, and how is it known to be this one?"""

    what = "incident"
    place = f.PlaceField("Where is it now?", required=False, hint="Left empty: where it should be.")
    known_by = f.Words(
        "How do you know that it is this one?", rows=2, hint="Its marks, its mass, its break faces.",
        wanted="Write how you know that it is this one: its marks, its mass, its break faces.",
    )  # fmt: skip
    sections = [f.Section("Found now, by you. Change, or add what is known", ["noticed_on", "noticed_by", "note"], folded=True)]  # fmt: skip

    def clean_place(self) -> Place | None:
        chosen = self.cleaned_data["place"]
        return self.meant("place", chosen, place_said) if chosen else None

    def said(self) -> FoundSaid:
        return FoundSaid(self.incident_said(), self.cleaned_data["known_by"], self.cleaned_data["place"])


class DecisionForm(f.Form):
    """The keeper closes an incident."""

    what = "decision"
    claim = f.PicksField("Is it claimed from the insurer?", choices=_YES_NO, required=False)
    treatment_wanted = f.PicksField("Is it to be mended?", choices=_YES_NO, required=False)
    lesson = f.Words("What is learnt from it?", rows=3, wanted="Write what is learnt from it, if only that nothing is.")

    def said(self) -> DecisionSaid:
        typed: dict[str, Any] = self.cleaned_data
        yes = {"yes": True, "no": False}
        return DecisionSaid(yes.get(typed["claim"]), yes.get(typed["treatment_wanted"]), typed["lesson"])


class TakeBackForm(f.Form):
    """What was wrong with it."""

    what = "taking back"
    why = f.TextLine("What was wrong with it?", most=300, wanted="Write what was wrong with it.")
