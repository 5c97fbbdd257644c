"""What was typed about pieces, faces and joins."""

from __future__ import annotations

from datetime import date
from typing import Any

from catalog.casts.models import MASS_STATES, BreakFace, Cast, Join, Piece
from catalog.casts.reads.casts import subject_of
from catalog.casts.reads.refitting import face_at
from catalog.ground import fields as f
from catalog.ground.figures import Amount
from catalog.ground.refusal import NotFound, Refusal
from catalog.ground.roles import Actor
from catalog.people.models import Person
from catalog.people.reads import person_meant


def _capital(choices: list[tuple[str, str]]) -> list[tuple[str, str]]:
    return [(value, words.capitalize()) for value, words in choices]


def _value(amount: Amount | None) -> Any:
    return amount.value if amount else None


class PieceForm(f.Form):
    """What a piece is and where it came from; its mass is set by weighing, its number stays."""

    what = "piece"
    kind = f.ListField("Which part of the nest?", choices=_capital(Piece.KINDS), none="Not said", required=False)
    from_cm = f.AmountField("Upper end, below the surface", unit="cm", what="depth", required=False)
    to_cm = f.AmountField("Lower end, below the surface", unit="cm", what="depth", required=False)
    largest = f.AmountField("Largest size", unit="mm", what="length", required=False)
    up_mark = f.PicksField(
        "Is the upper end marked?", choices=[("yes", "Yes"), ("no", "No")], required=False, unknown=True
    )
    compass = f.TextLine("Side it lay to", required=False, most=20, hint="North, or as marked on it.")
    shaft = f.TextLine("From which shaft?", required=False, most=40)
    note = f.Words("Notes", required=False, most=5000)

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        return {
            "kind": typed["kind"],
            "from_cm": _value(typed["from_cm"]),
            "to_cm": _value(typed["to_cm"]),
            "largest_mm": _value(typed["largest"]),
            "up_mark": {"yes": True, "no": False}.get(typed["up_mark"]),
            **{n: typed[n] for n in ("compass", "shaft", "note")},
        }

    @staticmethod
    def begin(piece: Piece) -> dict[str, Any]:
        begun = {n: getattr(piece, n) for n in ("kind", "from_cm", "to_cm", "compass", "shaft", "note", "version")}
        marked = {True: "yes", False: "no", None: ""}[piece.up_mark]
        return begun | {"largest": piece.largest_mm, "up_mark": marked}


class NewPieceForm(f.Form):
    """A piece that gets a number of its own: a crumb, or the second of two that bore one number."""

    what = "piece"
    mass = f.AmountField("Mass", unit="g", what="mass", required=False)
    state = f.PicksField("In which state was it weighed?", choices=_capital(MASS_STATES), required=False)
    kind = f.ListField("Which part of the nest?", choices=_capital(Piece.KINDS), none="Not said", required=False)
    note = f.Words("Notes", required=False, most=5000)

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        amount = typed["mass"]
        weighed = {"mass_g": _value(amount), "u_g": amount.uncertainty if amount else None}
        return weighed | {n: typed[n] for n in ("state", "kind", "note")}


class StrikeOffForm(f.Form):
    """What it is instead."""

    what = "striking off"
    why = f.TextLine("What is it instead?", most=80, hint="Stone, soil.", wanted="Write what it is instead.")


class GiveToCastForm(f.Form):
    """Which cast it is of."""

    what = "number"
    to = f.ChooserField("Of which cast is it?", kind="cast", wanted="Write the number of the cast.")

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)

    def clean_to(self) -> Cast | None:
        chosen = self.cleaned_data["to"]
        try:
            return subject_of(self.actor, chosen.value or chosen.text).cast
        except Refusal as refusal:
            self.add_error("to", str(refusal))
            return None


class CrumbsForm(f.Form):
    """Crumbs kept together: what they weigh, how many there are."""

    what = "lot of crumbs"
    mass = f.AmountField("What do they weigh?", unit="g", what="mass", required=False)
    state = f.PicksField("In which state were they weighed?", choices=_capital(MASS_STATES), required=False)
    n = f.CountField("How many are there?", required=False, unit="crumbs", least=1)
    note = f.TextLine("Notes", required=False, most=300)

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        amount = typed["mass"]
        weighed = {"mass_g": _value(amount), "u_g": amount.uncertainty if amount else None}
        return weighed | {n: typed[n] for n in ("state", "n", "note")}


class FaceForm(f.Form):
    """A break face and its size."""

    what = "break face"
    length = f.AmountField("Its largest width", unit="mm", what="length", required=False)
    width = f.AmountField("The width across that", unit="mm", what="width", required=False)
    side = f.PicksField(
        "Which end of the piece is it?", choices=_capital(BreakFace.SIDES), required=False, unknown=True
    )
    natural_end = f.PicksField(
        "Is it a natural end?",
        choices=[("yes", "Yes, nothing was broken here"), ("no", "No, it is broken")],
        required=False,
    )
    note = f.TextLine("Notes", required=False, most=300)

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        return {
            "length_mm": _value(typed["length"]),
            "width_mm": _value(typed["width"]),
            "side": typed["side"] if typed["side"] in dict(BreakFace.SIDES) else "",
            "natural_end": typed["natural_end"] == "yes",
            "note": typed["note"],
        }

    @staticmethod
    def begin(face: BreakFace) -> dict[str, Any]:
        begun = {"length": face.length_mm, "width": face.width_mm, "side": face.side, "note": face.note}
        return begun | {"natural_end": "yes" if face.natural_end else "no", "version": face.version}


class DoneForm(f.Form):
    """Who did it and when."""

    adhesive = f.TextLine("Fixed with what?", required=False, hint="For a fixed join: maker and name, or: not known.")
    by = f.ChooserField("Who did it?", kind="person", required=False)
    on = f.ExactDayField("When?", required=False, past_only=True, hint="Left empty: today.")
    note = f.TextLine("Notes", required=False, most=500)

    def clean_by(self) -> Person | None:
        chosen = self.cleaned_data["by"]
        person = person_meant(chosen.value or chosen.text) if chosen else None
        if chosen and person is None:
            self.add_error("by", "We know nobody of this name. Write them under People first, or leave this empty.")
        return person

    def done(self) -> dict[str, Any]:
        typed = self.cleaned_data
        on: date | None = typed["on"]
        return {"adhesive": typed["adhesive"], "by": typed["by"], "on": on, "note": typed["note"]}


class JoinForm(DoneForm):
    """Which face fits which, tried dry or fixed."""

    what = "join"
    field_order = ["face_a", "face_b", "state"]
    face_a = f.TextLine("Which face?", figures=True, hint="As 2016.1.4/a.", wanted="Write a face, as 2016.1.4/a.")
    face_b = f.TextLine("Fits which other?", figures=True, wanted="Write a face, as 2016.1.5/b.")
    state = f.PicksField(
        "How?", choices=[("dry fit", "Dry fit"), ("fixed", "Fixed")], wanted="Choose dry fit, or fixed."
    )

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)

    def _face(self, name: str) -> BreakFace | None:
        try:
            return face_at(self.actor, self.cleaned_data[name])
        except NotFound as absent:
            self.add_error(name, str(absent))
            return None

    def clean_face_a(self) -> BreakFace | None:
        return self._face("face_a")

    def clean_face_b(self) -> BreakFace | None:
        return self._face("face_b")


class ChangeJoinForm(DoneForm):
    """What became of a join."""

    what = "join"
    field_order = ["state"]

    def __init__(self, *args: Any, join: Join, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        words = {"fixed": "It is fixed now", "failed": "It failed", "undone": "It was undone"}
        rest = [(s, w) for s, w in words.items() if s != join.state]
        self.fields["state"] = f.PicksField("What became of it?", choices=rest, wanted="Choose what became of it.")
        self.order_fields(["state"])


class PlaceFaceForm(f.Form):
    """Which part of a broken piece carries a face."""

    what = "face"

    def __init__(self, *args: Any, parts: list[Piece], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.parts = {str(p.pk): p for p in parts}
        choices = [(pk, p.number) for pk, p in self.parts.items()]
        self.fields["part"] = f.ListField("Which part carries it?", choices=choices, wanted="Choose the part.")

    def part(self) -> Piece:
        return self.parts[self.cleaned_data["part"]]
