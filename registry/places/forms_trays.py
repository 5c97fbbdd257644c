"""Opening a tray."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import MASS_STATES, Cast
from catalog.casts.reads import subject_of
from catalog.excavations.models import Lift
from catalog.ground import fields as f
from catalog.ground.refusal import NotFound, Refusal
from catalog.ground.roles import Actor
from registry.places import reads
from registry.places.models import Place


class BeginTrayForm(f.Form):
    """Which tray, for whose pieces, from where in the ground."""

    what = "tray"
    sections = [
        f.Section("Which pieces, in which tray?", ["cast", "tray", "state"]),
        f.Section(
            "From where in the ground?", ["lift_n", "shaft"], "Without it the search for what fits is half as good."
        ),
    ]
    cast = f.ChooserField("Pieces of", kind="cast", hint="An entry number is enough: E-2026-14.")
    tray = f.PlaceField("Tray", wanted="Scan or write the code of the tray.")
    state = f.PicksField("What is weighed is", choices=MASS_STATES, required=False)
    lift_n = f.CountField("Lift number, if it is known", required=False, least=1, most=9999)
    shaft = f.TextLine("Which shaft, or where in plan", required=False, most=40)

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.actor = actor

    def clean_tray(self) -> Place | None:
        chosen = self.cleaned_data["tray"]
        try:
            return reads.place_said(self.actor, chosen.value or chosen.text, "tray") if chosen else None
        except Refusal as refusal:
            self.add_error("tray", str(refusal))
            return None

    def clean_cast(self) -> Cast | None:
        chosen = self.cleaned_data["cast"]
        try:
            return subject_of(self.actor, chosen.value or chosen.text).cast if chosen else None
        except NotFound as refusal:
            self.add_error("cast", str(refusal))
            return None

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        n, cast = typed.get("lift_n"), typed.get("cast")
        typed["lift"] = None
        if n and cast:
            typed["lift"] = Lift.objects.filter(excavation=cast.excavation_id, n=n).first()
            if typed["lift"] is None:
                self.add_error("lift_n", f"The excavation of {cast} has no lift {n}.")
        return typed

    def things(self) -> tuple[Place, Cast]:
        return self.cleaned_data["tray"], self.cleaned_data["cast"]

    def said(self) -> dict[str, Any]:
        return {n: self.cleaned_data[n] for n in ("lift", "shaft", "state")}
