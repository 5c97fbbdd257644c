"""A restriction as typed."""

from __future__ import annotations

from typing import Any

from catalog.ground import fields as f
from catalog.ground.refusal import Refusal
from catalog.ground.roles import Actor
from catalog.people.models import Person
from registry.condition.models import Restriction
from registry.condition.said import RestrictionSaid
from registry.places.reads import person_said


class RestrictionForm(f.Form):
    """Which deed, why, until when, who may lift it."""

    what = "restriction"
    pencil = "restriction"
    deed = f.PicksField("What may not be done with it?", choices=[(d, w.capitalize()) for d, w in Restriction.DEEDS])
    why = f.Words(
        "Why?", rows=3, hint="As the sentence goes on: it is softened by heat.", wanted="Write why it is barred."
    )
    since = f.ExactDayField("Since when?", required=False, past_only=True, hint="Left empty: from today.")
    until = f.ExactDayField("Until when?", required=False)
    who_may_lift = f.TextLine("Who may lift it?", required=False, hint="Left empty: the keeper.")
    said_by = f.ChooserField("On whose word?", kind="person", required=False)

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)

    def clean_said_by(self) -> Person | None:
        chosen = self.cleaned_data["said_by"]
        if not chosen:
            return None
        try:
            return person_said(self.actor, chosen.value or chosen.text, "said_by")
        except Refusal as refusal:
            self.add_error("said_by", str(refusal))
            return None

    def said(self) -> RestrictionSaid:
        typed = self.cleaned_data
        names = ("deed", "why", "since", "until", "who_may_lift", "said_by")
        return RestrictionSaid(**{n: typed[n] for n in names})


class LiftForm(f.Form):
    """Why it may be done again."""

    what = "lifting"
    why = f.Words("Why may it be done again?", rows=3, most=300, wanted="Write why it may be done again.")
