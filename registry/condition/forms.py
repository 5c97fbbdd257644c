"""A restriction as typed."""

from __future__ import annotations

from catalog.ground import fields as f
from catalog.people.models import Person
from registry.condition.models import Restriction
from registry.condition.said import RestrictionSaid


class RestrictionForm(f.Form):
    """Which deed, why, until when, who may lift it."""

    what = "restriction"
    deed = f.PicksField("What may not be done with it?", choices=[(d, w.capitalize()) for d, w in Restriction.DEEDS])
    why = f.Words("Why?", rows=3)
    since = f.ExactDayField("Since when?", required=False, past_only=True, hint="Left empty: from today.")
    until = f.ExactDayField("Until when?", required=False)
    who_may_lift = f.TextLine("Who may lift it?", required=False, hint="The keeper, after a new examination.")
    said_by = f.ChooserField("On whose word?", kind="person", required=False)

    def said(self) -> RestrictionSaid:
        typed = self.cleaned_data
        chosen = typed["said_by"]
        by = None
        if chosen:
            rows = (
                Person.objects.filter(pk=int(chosen.value))
                if chosen.value.isdigit()
                else Person.objects.filter(name__iexact=chosen.text)
            )
            by = rows.first()
        return RestrictionSaid(typed["deed"], typed["why"], typed["since"], typed["until"], typed["who_may_lift"], by)


class LiftForm(f.Form):
    """Why it may be done again."""

    what = "lifting"
    why = f.Words("Why may it be done again?", rows=3)
