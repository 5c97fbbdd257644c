"""It was on the balance."""

from __future__ import annotations

import re
from datetime import datetime, time
from decimal import Decimal
from typing import Any

from django.utils import timezone

from catalog.casts.models import MASS_STATES
from catalog.ground import fields as f
from catalog.ground.collection import today, zone
from catalog.ground.roles import Actor
from catalog.measurements import reads
from catalog.people.models import Person
from catalog.people.reads import person_meant

_HOUR = re.compile(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])")


class WeighForm(f.Form):
    """Mass, state, balance; what was under it; when and by whom, where that is not now and not you."""

    what = "weighing"
    sections = [
        f.Section("What did the balance show?", ["mass_g", "state", "instrument"]),
        f.Section("Was anything else on the pan?", ["tare_g", "tare_of"], folded=True),
        f.Section("When, and by whom?", ["on", "hour", "by"], "Empty is now, by you.", folded=True),
        f.Section("What else should be known?", ["mistake", "note"], folded=True),
    ]
    mass_g = f.AmountField("What the balance showed", unit="g", what="mass", least=None)
    state = f.PicksField("State", choices=MASS_STATES, required=False)
    instrument = f.ListField("Which balance", required=False, none="typed, no balance named")
    tare_g = f.AmountField("Bag or tray under it, to be taken off", unit="g", what="tare", required=False)
    tare_of = f.TextLine("What it was", required=False, most=120)
    on = f.ExactDayField("Day", past_only=True, required=False)
    hour = f.TextLine("Hour, such as 14:05", required=False, most=10)
    by = f.ChooserField("Who weighed it", kind="person", required=False)
    mistake = f.PicksField(
        "Is the last value a mistake?",
        choices=[("no", "No: both stand, it dries"), ("yes", "Yes: this one replaces it")],
        required=False,
    )
    note = f.TextLine("Note", required=False, most=300)

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.actor = actor
        field: Any = self.fields["instrument"]
        field.offer([(i.code, f"{i.code} {i.what}".strip()) for i in reads.listening(actor)])

    def clean_by(self) -> Person | None:
        chosen = self.cleaned_data["by"]
        if chosen is None:
            return Person.objects.filter(pk=self.actor.person_id).first() if self.actor.person_id else None
        found = person_meant(chosen.value or chosen.text)
        if found is None:
            self.add_error("by", "That is not one person on record here. Write the whole name.")
        return found

    def clean_hour(self) -> time | None:
        said = self.cleaned_data["hour"].strip()
        found = _HOUR.fullmatch(said)
        if said and not found:
            self.add_error("hour", "Write the hour as 14:05.")
        return time(int(found[1]), int(found[2])) if found else None

    def said(self) -> dict[str, Any]:
        """For the action: the mass net of what was under it."""
        typed = self.cleaned_data
        tare = typed["tare_g"].value if typed["tare_g"] else None
        width = typed["mass_g"].uncertainty
        return {
            "mass_g": typed["mass_g"].value - (tare or Decimal(0)),
            "u_g": width / 2 if width else None,
            "tare_g": tare,
            "instrument": reads.instrument_said(typed["instrument"]),
            "at": self._at(),
            **{n: typed[n] for n in ("state", "tare_of", "by", "note")},
        }

    def _at(self) -> datetime:
        day, hour = self.cleaned_data["on"], self.cleaned_data["hour"]
        if hour is None and day in (None, today()):
            return timezone.now()
        return datetime.combine(day or today(), hour or time(12), tzinfo=zone())
