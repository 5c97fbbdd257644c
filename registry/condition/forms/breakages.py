"""It broke: asked in the order of the hand at the bench. Its fields bear the API's names: without signal they are sent there."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import MASS_STATES, Join
from catalog.casts.subject import Subject
from catalog.ground import fields as f
from catalog.ground.refusal import Refusal
from catalog.ground.roles import Actor
from catalog.people.models import Person
from registry.condition.models import BreakagePart
from registry.condition.said.incidents import BodySaid, BreakageSaid, IncidentSaid, LooseSaid, PartSaid
from registry.condition.states.incidents import HOWS
from registry.places.reads import person_said, subject_said

MOST_MASSES = 6
INTO = [("2", "2"), ("3", "3"), ("4", "4"), ("more", "More"), ("one body", "One body is left")]
_MASSES = [f"mass_{n}" for n in range(1, MOST_MASSES + 1)]


def _mass(label: str) -> f.AmountField:
    return f.AmountField(label, unit="g", what="mass", required=False)


class IncidentForm(f.Form):
    """What every incident asks beside its own: when, by whom, what was done, who was told."""

    noticed_on = f.ExactDayField("When was it noticed, if not now?", required=False, past_only=True)
    noticed_by = f.ChooserField("Who noticed it, if not you?", kind="person", required=False)
    note = f.Words("What happened?", required=False, rows=3)

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)

    def clean_noticed_by(self) -> Person | None:
        chosen = self.cleaned_data["noticed_by"]
        return self.meant("noticed_by", chosen, person_said) if chosen else None

    def meant(self, name: str, chosen: f.Chosen, read: Any) -> Any:
        """What was chosen or typed, read; the sentence of a refusal at its field."""
        try:
            return read(self.actor, chosen.value or chosen.text, name)
        except Refusal as refusal:
            self.add_error(name, str(refusal))
            return None

    def incident_said(self, **more: Any) -> IncidentSaid:
        typed = self.cleaned_data
        names = [n for n in ("noticed_on", "noticed_by", "note", "how", "happened_on", "measures", "told", "searched") if n in typed]  # fmt: skip
        photographs = tuple(typed.get("photographs") or ())
        return IncidentSaid(**{n: typed[n] for n in names}, photographs=photographs, **more)


class BreakageForm(IncidentForm):
    """What broke, into how many, a photograph, how; the rest can follow on the page of the incident."""

    what = "breakage"
    of = f.ChooserField("What broke?", kind="cast", wanted="Scan or write the number of what broke.")
    n_parts = f.PicksField("Into how many parts?", choices=INTO, required=False)
    n_more = f.CountField("How many, if more?", required=False, least=2, most=200, unit="parts")
    photographs = f.PhotographsField(
        "Photograph, before anything is moved", required=False, hint="Two are enough: all parts with the scale bar, and the break."
    )  # fmt: skip
    how = f.PicksField("How did it happen?", choices=HOWS, required=False)
    mass_state = f.PicksField("In which state were they weighed?", choices=MASS_STATES, required=False)
    crumbs_g = _mass("Crumbs, all in one bag")
    n_crumbs = f.CountField("How many crumbs, if counted?", required=False, unit="crumbs")
    lost_g = _mass("Known to be lost")
    also = f.Words(
        "Other things that broke at once", required=False, rows=2, most=2000,
        hint="A number a row. Their fragments are counted below, as one lot, until somebody can place them.",
    )  # fmt: skip
    loose_n = f.CountField("Fragments that nobody can place yet", required=False, least=1, unit="fragments")
    loose_g = _mass("Their mass together")
    happened_on = f.UncertainDayField("When did it happen, if that is known?", required=False)
    measures = f.Words("What was done at once?", required=False, rows=2)
    told = f.Words("Who was told, and when?", required=False, rows=2)

    sections = [
        f.Section("Weighed already?", [*_MASSES, "mass_state", "crumbs_g", "n_crumbs", "lost_g"], folded=True,
                  hint="Empty means: weigh it later, on the page of the incident."),
        f.Section("Several things, or fragments nobody can place", ["also", "loose_n", "loose_g"], folded=True),
        f.Section("Noticed now, where it stands, by you. Change, or add what is known",
                  ["noticed_on", "noticed_by", "happened_on", "note", "measures", "told"], folded=True),
    ]  # fmt: skip

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        super().__init__(*args, actor=actor, **kwargs)
        self.pencil, self.outbox = "breakage", "/api/v1/breakages/"
        for n, name in enumerate(_MASSES, 1):
            self.fields[name] = _mass(f"Part {n}")

    def clean_of(self) -> Subject | None:
        return self.meant("of", self.cleaned_data["of"], subject_said)

    def clean_also(self) -> list[Subject]:
        rows = [row.strip() for row in self.cleaned_data["also"].splitlines() if row.strip()]
        found = [self.meant("also", f.Chosen(row), subject_said) for row in rows]
        return [s for s in found if s is not None]

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        into, more = typed.get("n_parts"), typed.get("n_more")
        if into == "more" and not more and "n_more" not in self.errors:
            self.add_error("n_more", "Write into how many parts it broke, such as 7.")
        if not into and more:
            typed["n_parts"] = "more"
        if not into and not more and not typed.get("loose_n") and not any(typed.get(n) for n in _MASSES):
            self.add_error("n_parts", "Say into how many parts it broke, or that one body is left.")
        return typed

    def said(self) -> BreakageSaid:
        return breakage_said(self.incident_said(), self.cleaned_data)


def breakage_said(incident: IncidentSaid, typed: dict[str, Any]) -> BreakageSaid:
    """The bodies and loose fragments that the fields of the bench form say."""
    first = BodySaid(typed["of"], tuple(_parts(typed)), one_body=typed.get("n_parts") == "one body", **_crumbs(typed))
    others = tuple(BodySaid(subject) for subject in typed.get("also") or ())
    loose = None
    if typed.get("loose_n"):
        loose = LooseSaid(typed["loose_n"], _value(typed.get("loose_g")), typed.get("mass_state") or "")
    return BreakageSaid(incident, (first, *others), loose=loose)


def _crumbs(typed: dict[str, Any]) -> dict[str, Any]:
    return {n: _value(typed.get(n)) for n in ("crumbs_g", "lost_g")} | {"n_crumbs": typed.get("n_crumbs")}


def _value(amount: Any) -> Any:
    return getattr(amount, "value", amount)


def _parts(typed: dict[str, Any]) -> list[PartSaid]:
    """As many as were counted, at least as many as were weighed."""
    into, weighed = typed.get("n_parts") or "", [typed.get(n) for n in _MASSES]
    last = max((n for n, mass in enumerate(weighed, 1) if mass is not None), default=0)
    if into == "one body":
        return [_part(weighed[0], typed)] if weighed[0] is not None else []
    n = max(int(into) if into.isdigit() else typed.get("n_more") or 0, last)
    return [_part(weighed[i] if i < MOST_MASSES else None, typed) for i in range(n)]


def _part(mass: Any, typed: dict[str, Any]) -> PartSaid:
    if mass is None:
        return PartSaid()
    return PartSaid(_value(mass), getattr(mass, "uncertainty", None), typed.get("mass_state") or "")


class MassesForm(f.Form):
    """Masses of the parts that were not weighed at once."""

    what = "weighing"
    mass_state = f.PicksField("In which state were they weighed?", choices=MASS_STATES, required=False)

    def __init__(self, *args: Any, parts: list[BreakagePart], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.parts = [p for p in parts if p.piece]
        for part in self.parts:
            self.fields[f"mass_{part.piece_id}"] = _mass(str(part.piece))
        self.order_fields([f"mass_{p.piece_id}" for p in self.parts])

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        if not any(typed.get(f"mass_{p.piece_id}") for p in self.parts) and not self.errors:
            self.add_error(None, "Write at least one mass.")
        return typed

    def said(self) -> dict[int, Any]:
        weighed = {p.piece_id: self.cleaned_data.get(f"mass_{p.piece_id}") for p in self.parts if p.piece_id}
        return {pk: (mass.value, mass.uncertainty) for pk, mass in weighed.items() if mass is not None}


class JoinsForm(IncidentForm):
    """An assembled cast came apart: at which of its joins?"""

    what = "breakage"
    photographs = f.PhotographsField("Photograph, before anything is moved", required=False)
    how = f.PicksField("How did it happen?", choices=HOWS, required=False)
    sections = [f.Section("Noticed now, by you. Change, or add what is known", ["noticed_on", "noticed_by", "note"], folded=True)]  # fmt: skip

    def __init__(self, *args: Any, joins: list[Join], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.joins = {str(j.pk): j for j in joins}
        offered = [(pk, f"{j} ({j.state})") for pk, j in self.joins.items()]
        self.fields["joins"] = f.ManyPicksField("Which joins came apart?", choices=offered)
        self.order_fields(["joins", "photographs", "how"])

    def chosen(self) -> list[Join]:
        return [self.joins[pk] for pk in self.cleaned_data["joins"]]


class LooseForm(f.Form):
    """What some of the loose fragments broke from, and what each weighs."""

    what = "placing"
    n_parts = f.CountField("How many of the fragments?", least=1, most=50, unit="fragments")
    mass_state = f.PicksField("In which state were they weighed?", choices=MASS_STATES, required=False)

    def __init__(self, *args: Any, actor: Actor, broken: list[Subject], **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)
        self.broken = {str(s): s for s in broken}
        self.fields["of"] = f.PicksField("What did they break from?", choices=[(n, n) for n in self.broken])
        for n, name in enumerate(_MASSES, 1):
            self.fields[name] = _mass(f"Fragment {n}")
        self.order_fields(["of", "n_parts", *_MASSES, "mass_state"])

    def clean_of(self) -> Subject | None:
        return self.broken.get(self.cleaned_data["of"])

    def parts(self) -> list[PartSaid]:
        typed = self.cleaned_data
        masses = [typed.get(n) for n in _MASSES]
        return [_part(masses[i] if i < MOST_MASSES else None, typed) for i in range(typed["n_parts"])]
