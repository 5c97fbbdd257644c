"""Pours, lifts and bags. The lift's fields bear the API's names: without signal they are sent there."""

from __future__ import annotations

import re
from typing import Any, ClassVar

from catalog.excavations import reads
from catalog.excavations.forms.base import MATERIAL_CHOICES, FieldForm
from catalog.excavations.models import Bag
from catalog.ground import fields as f
from catalog.ground import say

SIDES = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"]


def codes_in(text: str) -> list[str]:
    """Bag codes, typed or scanned, one after another: blanks, commas and rows part them."""
    return [code for code in re.split(r"[\s,;]+", text) if code]


class PourForm(FieldForm):
    """One charge of material let into the ground."""

    what = "pour"
    sections: ClassVar[list[f.Section]] = [
        f.Section("What was poured?", ["lot", "material", "mass_g", "recovered_g"]),
        f.Section("When, where, by whom?", ["poured_on", "by", "entrance"]),
        f.Section("How was it mixed or melted?", ["mixture", "water_g", "temperature_c", "melt_minutes"]),
        f.Section("What else should be known?", ["note"], folded=True),
    ]
    lot = f.ListField("From which lot?", none="from no lot of ours", required=False)
    material = f.ListField("Of what?", choices=MATERIAL_CHOICES, none="as the lot says", required=False)
    mass_g = f.AmountField("How much went in?", unit="g", what="mass", required=False, hint="It is drawn from the lot.")
    recovered_g = f.AmountField(
        "How much came back?",
        unit="g",
        what="mass",
        required=False,
        hint="Spilled and taken up again: it goes back to the lot.",
    )
    poured_on = f.UncertainDayField("When?", required=False)
    by = f.ChooserField("Who poured?", kind="person", required=False)
    entrance = f.TextLine("Into which entrance?", required=False, most=120)
    mixture = f.TextLine("Mixture", required=False, hint="10 parts to 6 of water; which alloy.")
    water_g = f.AmountField("Water", unit="g", what="mass", required=False)
    temperature_c = f.AmountField("Heat when poured", unit="°C", what="temperature", least=None, required=False)
    melt_minutes = f.CountField("Molten for", unit="minutes", most=10_000, required=False)
    note = f.Words("Notes", required=False, most=10_000)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lots = list(reads.lots(self.actor).order_by("code"))
        left = ((str(lot.pk), f"{lot.code}, {lot.material}: {say.mass(lot.balance_g)} left") for lot in self.lots)
        self.fields["lot"].offer(left)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        self.poured_by = self.person("by")
        return typed

    def said(self) -> dict[str, Any]:
        names = ("material", "mass_g", "recovered_g", "poured_on", "entrance", "mixture", "water_g", "temperature_c")
        more = {"lot": self.one_of("lot", self.lots), "by": self.poured_by}
        return self.of(*names, "melt_minutes", "note") | more


class LiftForm(FieldForm):
    """What left the ground together, and the bags it went into. Works without signal."""

    what = "lift"
    outbox = "/api/v1/lifts/"
    sections: ClassVar[list[f.Section]] = [
        f.Section("More about it", ["shaft", "up_marked", "side", "lifted_on", "by", "note"], folded=True),
    ]
    excavation = f.ChooserField("Of which excavation?", kind="excavation", wanted="Write its number, or choose it.")
    from_cm = f.AmountField("From which depth?", unit="cm", what="depth", required=False)
    to_cm = f.AmountField("To which depth?", unit="cm", what="depth", required=False)
    bags = f.Words(
        "Into which bags?", required=False, rows=2, hint="Scan or type one code after another: BAG-1, BAG-2.", most=4000
    )
    shaft = f.TextLine("Which shaft or part?", required=False, most=80)
    up_marked = f.PicksField("Is the upper end marked?", choices=[("yes", "Yes"), ("no", "No")], required=False)
    side = f.ListField("Which side is marked?", choices=[(s, s) for s in SIDES], none="none", required=False)
    lifted_on = f.UncertainDayField("When, if not today?", required=False)
    by = f.ChooserField("Who lifted it, if not you?", kind="person", required=False)
    note = f.Words("Notes", required=False, most=10_000)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        self.of_dig, self.lifted_by = self.dig("excavation"), self.person("by")
        return typed

    def said(self) -> dict[str, Any]:
        marked = {"yes": True, "no": False}.get(self.cleaned_data["up_marked"])
        names = ("from_cm", "to_cm", "shaft", "side", "lifted_on", "note")
        return self.of(*names) | {"up_marked": marked, "by": self.lifted_by}

    def codes(self) -> list[str]:
        return codes_in(self.cleaned_data["bags"])


class BagsForm(FieldForm):
    what = "codes"
    n = f.CountField(
        "How many bags?", unit="bags", least=1, most=200, hint="Each has two labels: one inside, one outside."
    )


class TieForm(FieldForm):
    """Ties a bag to a lift that is written."""

    what = "bag"
    lift = f.ListField("To which lift?")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lifts = reads.open_lifts(self.actor)
        self.fields["lift"].offer((str(lift.pk), _lift(lift)) for lift in self.lifts)  # type: ignore[attr-defined]

    def chosen(self) -> Any:
        return self.one_of("lift", self.lifts)


def _lift(lift: Any) -> str:
    return f"{lift.excavation.number}, lift {lift.n}{f', {lift.depths}' if lift.depths else ''}"


class CloseBagForm(FieldForm):
    """How a bag ends."""

    what = "bag"
    outcome = f.PicksField("How does it end?", choices=[(value, say.capital(word)) for value, word in Bag.OUTCOMES])
    ground = f.TextLine("If it is written off: why?", required=False, most=300)
    closed_on = f.ExactDayField("When, if not today?", required=False, past_only=True)
