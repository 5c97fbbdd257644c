"""An examination as it was filled in: the last findings one by one, new ones with their marks, all in all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, ClassVar

from django.forms import BoundField, HiddenInput

from catalog.ground import fields as f
from catalog.ground.ids import as_uid
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.media.models import Photograph
from catalog.media.reads import photographs
from catalog.media.shapes import KINDS
from catalog.people.models import Person
from registry.condition.models import Examination, Finding
from registry.condition.said import CarriedSaid, ExaminationSaid, MarkSaid, NewSaid
from registry.condition.states.damage import FAMILIES, ORIGINS
from registry.condition.states.examinations import GRADES, MEANS, METHODS, REASONS
from registry.places.reads import me, person_said

_TITLES = ["Something new", "A second one", "A third one", "A fourth one", "A fifth one", "A sixth one"]
SLOTS = len(_TITLES)
NEW_PICTURE = "new"
_MARK = ("shape", "position", "radius_px")
_YES_NO = [("yes", "Yes"), ("no", "No")]
_SHAPES = [(k, w.capitalize()) for k, w in KINDS]


@dataclass(frozen=True)
class Slot:
    """The fields of one finding on the page; `finding` is that of the last time, None for a new one."""

    finding: Finding | None
    prefix: str
    facts: list[BoundField]
    mark: list[BoundField]
    picture: BoundField
    title: str = ""

    @property
    def wrong(self) -> bool:
        return any(b.errors for b in [*self.facts, *self.mark])


class ExaminationForm(f.Form):
    """Nothing is chosen beforehand. `last`: findings of the last examination, each wants its answer before it is signed."""

    what: ClassVar[str] = "examination"
    outbox = "/api/v1/examinations/"
    reason = f.ListField("Why is it examined?", choices=REASONS, none="Choose one", wanted="Choose why it is examined.")
    photographs = f.PhotographsField("Photograph this side", required=False)
    method = f.ManyPicksField("How was it looked at?", choices=[(m, m.capitalize()) for m in METHODS], required=False)
    not_seen = f.Words("What could not be seen?", rows=2, required=False)
    grade = f.PicksField(
        "All in all it is", choices=[(g, f"{w.capitalize()}: {MEANS[g]}") for g, w in GRADES],
        hint="Never better than its worst finding.", wanted="Say how it is all in all.",
    )  # fmt: skip
    risk = f.Words("What is it at risk from?", rows=2, required=False, hint="In the hand, on the way, on display.")
    recommendation = f.Words("What should be done, and until when?", rows=2, required=False)
    next_due = f.ExactDayField("When is it looked at next?", required=False, from_today=True)
    on = f.ExactDayField("When was it looked at, if not today?", required=False, past_only=True)
    by = f.ChooserField("Who looked at it?", kind="person", required=False)
    note = f.Words("Notes", rows=2, required=False)

    def __init__(
        self, *args: Any, actor: Actor, of: str = "", last: Sequence[Finding] = (), picture: str = "", **kwargs: Any
    ) -> None:
        self.actor, self.last = actor, list(last)
        super().__init__(*args, **kwargs)
        self.fields["of"] = f.TextLine("Which cast or piece?", most=200)
        if of:
            self.fields["of"].required, self.fields["of"].initial = False, of
            self.fields["of"].widget = HiddenInput()
        self.fields["grade"].required = self.signing
        for finding in self.last:
            self._add(f"c{finding.pk}_", _carried_fields(), picture)
        for n in range(1, SLOTS + 1):
            self._add(f"n{n}_", _new_fields(), picture)

    def _add(self, prefix: str, fields: dict[str, Any], picture: str) -> None:
        for name, field in (fields | _mark_fields(picture)).items():
            self.fields[prefix + name] = field

    # how it is laid out

    @property
    def carried_slots(self) -> list[Slot]:
        names = ("verdict", "size_mm", "grade", "note")
        return [self._slot(finding, f"c{finding.pk}_", names) for finding in self.last]

    @property
    def new_slots(self) -> list[Slot]:
        names = ("kind", "where", "size_mm", "grade", "origin", "active", "note")
        return [self._slot(None, f"n{n}_", names, title) for n, title in enumerate(_TITLES, 1)]

    def _slot(self, finding: Finding | None, prefix: str, names: Sequence[str], title: str = "") -> Slot:
        of = [self[prefix + n] for n in names]
        return Slot(finding, prefix, of, [self[prefix + n] for n in _MARK], self[f"{prefix}picture"], title)

    @property
    def rest(self) -> list[BoundField]:
        return [self[n] for n in ("recommendation", "risk", "on", "by", "note")]

    # what was said

    @property
    def signing(self) -> bool:
        return self.data.get("then") != "draft"

    def clean_by(self) -> Person | None:
        chosen = self.cleaned_data["by"]
        if not chosen:
            return me(self.actor)
        try:
            return person_said(self.actor, chosen.value or chosen.text, "by")
        except Refusal as refusal:
            self.add_error("by", str(refusal))
            return None

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        for finding in self.last if self.signing else ():
            if not typed.get(f"c{finding.pk}_verdict") and f"c{finding.pk}_verdict" not in self.errors:
                self.add_error(f"c{finding.pk}_verdict", "As it was, changed, or gone?")
        for n in self._used():
            if not typed.get(f"n{n}_kind"):
                self.add_error(f"n{n}_kind", "Choose which kind of damage it is.")
        return typed

    def _used(self) -> list[int]:
        """The slots of new findings in which something was said; a picture alone says nothing."""
        typed = self.cleaned_data
        names = ("kind", "where", "size_mm", "grade", "origin", "active", "note", "position")
        return [n for n in range(1, SLOTS + 1) if any(typed.get(f"n{n}_{name}") for name in names)]

    def said(self, *, picture: Photograph | None = None, replaces: Examination | None = None) -> ExaminationSaid:
        typed = self.cleaned_data
        same = ("reason", "not_seen", "grade", "risk", "recommendation", "next_due", "on", "by", "note")
        return ExaminationSaid(
            **{n: typed[n] for n in same},
            method=", ".join(typed["method"]),
            plain=typed["method"] == ["by eye"],
            picture=picture,
            replaces=replaces,
            uploads=tuple(typed["photographs"] or ()),
            carried=tuple(self._carried(c) for c in self.last if typed[f"c{c.pk}_verdict"]),
            new=tuple(self._new(f"n{n}_") for n in self._used()),
        )

    def _carried(self, finding: Finding) -> CarriedSaid:
        typed, at = self.cleaned_data, f"c{finding.pk}_"
        size = typed[f"{at}size_mm"]
        facts = {n: typed[at + n] for n in ("verdict", "grade", "note")}
        return CarriedSaid(finding.pk, size_mm=size.value if size else None, mark=self._mark(at), **facts)

    def _new(self, at: str) -> NewSaid:
        typed = self.cleaned_data
        size, active = typed[f"{at}size_mm"], {"yes": True, "no": False}.get(typed[f"{at}active"])
        facts = {n: typed[at + n] for n in ("kind", "where", "grade", "origin", "note")}
        return NewSaid(size_mm=size.value if size else None, active=active, mark=self._mark(at), **facts)

    def _mark(self, at: str) -> MarkSaid | None:
        typed = self.cleaned_data
        if not typed[f"{at}position"]:
            return None
        picture = typed[f"{at}picture"]
        photograph: Photograph | str | None = NEW_PICTURE if picture == NEW_PICTURE else self._photograph(picture)
        return MarkSaid(photograph, typed[f"{at}shape"] or "point", typed[f"{at}position"], typed[f"{at}radius_px"])

    def _photograph(self, said: str) -> Photograph | None:
        uid = as_uid(said)
        return photographs(self.actor).filter(uid=uid).first() if uid else None

    @contextmanager
    def at_its_fields(self) -> Iterator[None]:
        """A refusal's reasons, led to the fields in which they were typed."""
        try:
            yield
        except Refusal as refusal:
            refusal.reasons = [Reason(r.sentence, self._name_of(r.field), r.remedy, r.said) for r in refusal.reasons]
            raise

    def _name_of(self, path: str) -> str:
        """`new/0/mark/position` -> `n1_position`"""
        noun, *rest = path.split("/")
        if len(rest) < 2 or not rest[0].isdigit():
            return path
        answered = [f"c{c.pk}_" for c in self.last if self.cleaned_data.get(f"c{c.pk}_verdict")]
        prefixes = answered if noun == "carried" else [f"n{n}_" for n in self._used()]
        return f"{prefixes[int(rest[0])]}{rest[-1]}" if int(rest[0]) < len(prefixes) else path


def _carried_fields() -> dict[str, Any]:
    verdicts = [("as it was", "As it was"), ("changed", "Changed"), ("gone", "Gone")]
    return {
        "verdict": f.PicksField("What became of it?", choices=verdicts, required=False),
        "size_mm": f.AmountField("How large is it now?", unit="mm", what="size", required=False),
        "grade": f.PicksField("How bad is it now?", choices=GRADES, required=False),
        "note": f.TextLine("What changed?", most=500, required=False),
    }


def _new_fields() -> dict[str, Any]:
    kinds = [(family, [(t, t.capitalize()) for t in terms]) for family, terms in FAMILIES]
    return {
        "kind": f.ListField("Which kind of damage?", choices=kinds, none="Choose one", required=False),  # type: ignore[arg-type]
        "where": f.TextLine("Where on it?", most=200, required=False, hint="Second turn, north side."),
        "size_mm": f.AmountField("How large, at its longest?", unit="mm", what="size", required=False),
        "grade": f.PicksField("How bad is it?", choices=GRADES, required=False),
        "origin": f.ListField("Where does it come from?", choices=ORIGINS, none="Not said", required=False),
        "active": f.PicksField("Does it go on now, fresh or loose?", choices=_YES_NO, required=False),
        "note": f.TextLine("In words", most=500, required=False),
    }


def _mark_fields(picture: str) -> dict[str, Any]:
    hidden = HiddenInput(attrs={"data-mark-picture": True, "data-kept": True})
    typed = "Press on the picture, or write pixels across and down: 410, 220."
    return {
        "shape": f.PicksField("How is it marked?", choices=_SHAPES, required=False),
        "position": f.TextLine(
            "Where on the picture?", most=4000, figures=True, autocomplete="off", hint=typed, required=False
        ),
        "radius_px": f.CountField("How wide is its ring?", least=1, unit="px", required=False),
        "picture": f.TextLine("", most=60, required=False, widget=hidden, initial=picture),
    }
