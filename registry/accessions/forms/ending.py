"""How an entry ends otherwise than with a number."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Cast
from catalog.casts.reads import subject_of
from catalog.ground import fields as f
from catalog.ground.refusal import Refusal
from catalog.ground.roles import Actor
from registry.accessions.forms.coming_in import whom
from registry.accessions.said import ExitSaid


class GiveBackForm(f.Form):
    """To whom it goes, why, on whose word."""

    to = f.ChooserField("Who takes it?", kind="person", wanted="Write who takes it.")
    reason = f.TextLine("Why does it go?", most=300, wanted="Write why it goes.")
    authority = f.TextLine("On whose word, by which paper?", required=False, most=300)
    on = f.ExactDayField("When, if not today?", required=False, past_only=True)
    parts = f.CountField("How many parts go?", required=False, least=1, unit="parts")
    carrier = f.TextLine("Who carries it?", required=False)
    packing = f.TextLine("In what is it packed?", required=False, most=300)

    def said(self) -> ExitSaid:
        typed = self.cleaned_data
        person, words = whom(typed["to"])
        names = ("reason", "authority", "on", "parts", "carrier", "packing")
        return ExitSaid(**{n: typed[n] for n in names}, to_person=person, to_words=words)


class RefuseForm(f.Form):
    """Why it is not taken in; and to whom it went, if it went at once."""

    ground = f.Words("Why is it refused?", rows=3, wanted="Write why it is refused.")
    to = f.ChooserField(
        "Who took it back, if it went at once?", kind="person", required=False,
        hint="Left empty, it waits here to go back.",
    )  # fmt: skip

    def went_back(self) -> ExitSaid | None:
        person, words = whom(self.cleaned_data["to"])
        if not (person or words):
            return None
        return ExitSaid("not taken in", to_person=person, to_words=words)


class TeachingForm(f.Form):
    ground = f.Words(
        "What is it kept for?", rows=3, hint="For trying resins, for classes.", wanted="Write what it is kept for."
    )


class SameAsForm(f.Form):
    """Which cast it turned out to be."""

    same_as = f.ChooserField("Which cast is it?", kind="cast", wanted="Write the number of that cast, or scan it.")
    ground = f.TextLine("How is that known?", required=False, most=300)

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)

    def clean_same_as(self) -> Cast | None:
        chosen = self.cleaned_data["same_as"]
        try:
            return subject_of(self.actor, chosen.value or chosen.text).cast
        except Refusal as refusal:
            self.add_error("same_as", str(refusal))
            return None
