"""A mount, a support, what is put on and taken off, as typed."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, ClassVar

from catalog.casts.subject import Subject
from catalog.ground import fields as f
from catalog.ground.refusal import Refusal
from catalog.ground.roles import Actor
from catalog.people.models import Person
from registry.mounts.models import Mount
from registry.mounts.said import MountedSaid, MountSaid, SupportSaid
from registry.places import reads as places
from registry.places.models import Place

YES_NO = [("yes", "Yes"), ("no", "No")]


def meant(form: Any, name: str, read: Any) -> Any:
    """What was chosen or typed in a chooser, read; the sentence of a refusal at its field."""
    chosen = form.cleaned_data.get(name)
    if not chosen:
        return None
    try:
        return read(form.actor, chosen.value or chosen.text, name)
    except Refusal as refusal:
        form.add_error(name, str(refusal))
        return None


def amount(typed: dict[str, Any], name: str) -> Decimal | None:
    value = typed.get(name)
    return None if value is None else value.value


def mm(label: str, **more: Any) -> f.AmountField:
    return f.AmountField(label, unit="mm", what="distance", least=None, required=False, **more)


class ActedForm(f.Form):
    """A form that knows who fills it in."""

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)


class ChangeMountForm(ActedForm):
    """What is said of a mount."""

    what = "mount"
    sections: ClassVar[list[f.Section]] = [
        f.Section("What is it?", ["name", "kind", "holding", "both_ways"]),
        f.Section("Where is it?", ["place", "stands_in", "overhead", "closes"]),
        f.Section("May it be moved?", ["stays", "plan", "people_needed", "gear"]),
        f.Section("When is it inspected?", ["inspect_months"]),
        f.Section(
            "What does it weigh?",
            ["mass_g", "x_mm", "y_mm", "z_mm", "dynamic"],
            hint="Distances from the corner on the left in front, heights from the supports.",
            folded=True,
        ),
        f.Section("Who made it, and of what?", ["maker", "made_on", "touches", "note"], folded=True),
    ]
    name = f.TextLine("What is it called?", wanted="Write what the mount is called, such as Frame 1.")
    kind = f.PicksField("What kind of mount is it?", choices=[(k, w.capitalize()) for k, w in Mount.KINDS])
    holding = f.PicksField("How does it carry?", choices=[(k, w.capitalize()) for k, w in Mount.HOLDINGS])
    both_ways = f.PicksField(
        "Do its supports hold both ways, push and pull?", choices=YES_NO, required=False, hint="Bolted through: yes."
    )
    overhead = f.PicksField("Is it overhead, or above head height?", choices=YES_NO)
    closes = f.PlaceField(
        "Which place lies below or beside it?", required=False, hint="It is closed when a support fails."
    )
    stays = f.PicksField("Is it not to be moved without its plan?", choices=YES_NO)
    plan = f.Words("The plan: in which order it is taken down", required=False, rows=4)
    people_needed = f.CountField("How many people does it take?", required=False, least=1, most=99, unit="people")
    gear = f.TextLine("With which gear?", required=False, most=300)
    inspect_months = f.CountField("How often is it inspected?", required=False, least=1, most=120, unit="months")
    mass_g = f.AmountField("Its own mass", unit="g", what="mass", required=False)
    x_mm = mm("Its middle, from the left")
    y_mm = mm("Its middle, from the front")
    z_mm = mm("Its middle, up")
    dynamic = f.AmountField(
        "What handling adds",
        unit="times",
        what="factor",
        required=False,
        hint="1 standing still, 1.5 when handled, 2 lifted by a hoist: ours, no source.",
    )
    maker = f.TextLine("Who made it?", required=False)
    made_on = f.UncertainDayField("When was it made?", required=False)
    touches = f.TextLine("What touches the cast?", required=False, most=300, hint="Felt, padded steel, silicone.")
    note = f.Words("Notes", required=False, rows=3)

    def clean_closes(self) -> Place | None:
        return meant(self, "closes", places.place_said)  # type: ignore[no-any-return]

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        names = ("name", "kind", "holding", "closes", "plan", "people_needed", "gear", "inspect_months")
        kept = {n: typed[n] for n in (*names, "maker", "made_on", "touches", "note")}
        kept |= {n: amount(typed, n) for n in ("mass_g", "x_mm", "y_mm", "z_mm")}
        kept |= {n: typed[n] == "yes" for n in ("both_ways", "overhead", "stays")}
        return kept | {"dynamic": amount(typed, "dynamic") or Decimal(1)}


class MountForm(ChangeMountForm):
    """A new mount: it may be a place already, or become one."""

    pencil = "mount"
    place = f.PlaceField("Which place is it already?", required=False, hint="The frame of a large cast: F-1.")
    stands_in = f.PlaceField(
        "Where does it stand or hang?",
        required=False,
        hint="Then it becomes a place with its number. Leave both empty for a small mount that goes about with its cast.",
    )

    def clean_place(self) -> Place | None:
        return meant(self, "place", places.place_said)  # type: ignore[no-any-return]

    def clean_stands_in(self) -> Place | None:
        return meant(self, "stands_in", places.place_said)  # type: ignore[no-any-return]

    def mount_said(self) -> MountSaid:
        typed = self.cleaned_data
        return MountSaid(**self.said(), place=typed["place"], stands_in=typed["stands_in"])


class SupportForm(f.Form):
    """One point where it carries."""

    what = "support"
    sections: ClassVar[list[f.Section]] = [
        f.Section(
            "Where is it?",
            ["number", "x_mm", "y_mm", "z_mm", "angle_deg"],
            hint="Measured from the corner on the left in front.",
        ),
        f.Section("What may it bear?", ["capacity_n", "capacity_source", "safety"]),
        f.Section("What holds it?", ["fixed_into", "assessed_by", "note"]),
    ]
    number = f.TextLine(
        "What is it called on the drawing?", most=10, figures=True, wanted="Write a letter or a figure."
    )
    x_mm = f.AmountField("From the left", unit="mm", what="distance", least=None)
    y_mm = f.AmountField("From the front", unit="mm", what="distance", least=None)
    z_mm = mm("Up")
    angle_deg = f.AmountField(
        "Its angle from the horizontal", unit="degrees", what="angle", required=False, hint="Of a slanting wire only."
    )
    capacity_n = f.AmountField("It may bear", unit="N", what="force", required=False, hint="10 kg weigh about 98 N.")
    capacity_source = f.TextLine("Who says so?", required=False, most=300, hint="Maker's sheet, test, engineer.")
    safety = f.AmountField(
        "Safety factor",
        unit="times",
        what="factor",
        required=False,
        hint="Empty: 2 standing, 5 hanging; ours, no source.",
    )
    fixed_into = f.TextLine("Into what is it fixed?", required=False)
    assessed_by = f.TextLine("Who judged the wall or beam?", required=False)
    note = f.Words("Notes", required=False, rows=2)

    def said(self) -> SupportSaid:
        typed = self.cleaned_data
        kept: dict[str, Any] = {
            n: amount(typed, n) for n in ("x_mm", "y_mm", "z_mm", "angle_deg", "capacity_n", "safety")
        }
        kept |= {n: typed[n] for n in ("number", "capacity_source", "fixed_into", "assessed_by", "note")}
        return SupportSaid(**kept)


class TakeAwayForm(f.Form):
    """Why a support is taken away."""

    what = "support"
    why = f.TextLine("Why is it taken away?", most=300, wanted="Write in a line why it is taken away.")


class PutOnForm(ActedForm):
    """What is put on, since when, by whom, where its middle is."""

    what = "mounting"
    thing = f.ChooserField(
        "What is put on it?", kind="cast", wanted="Scan or write the number of the cast or the piece."
    )
    on = f.ExactDayField("Since when?", required=False, past_only=True, hint="Left empty: today.")
    by = f.ChooserField("Who put it on?", kind="person", required=False)
    x_mm = mm("Its middle, from the left", hint="Where the heavy middle of it is; not known: the worst is counted.")
    y_mm = mm("Its middle, from the front")
    z_mm = mm("Its middle, up")

    def clean_thing(self) -> Subject | None:
        return meant(self, "thing", places.subject_said)  # type: ignore[no-any-return]

    def clean_by(self) -> Person | None:
        return meant(self, "by", places.person_said)  # type: ignore[no-any-return]

    def said(self) -> MountedSaid:
        typed = self.cleaned_data
        amounts = {n: amount(typed, n) for n in ("x_mm", "y_mm", "z_mm")}
        return MountedSaid(on=typed["on"], by=typed["by"], **amounts)


class TakeOffForm(ActedForm):
    """How it is taken off, by whom, where it goes."""

    what = "taking off"
    words = f.TextLine("How was it taken down, and who helped?", most=300, wanted="Write how it was taken down.")
    to = f.PlaceField("Where does it go?", required=False)
    on = f.ExactDayField("When?", required=False, past_only=True, hint="Left empty: today.")
    by = f.ChooserField("Who led it?", kind="person", required=False)

    def clean_to(self) -> Place | None:
        return meant(self, "to", places.place_said)  # type: ignore[no-any-return]

    def clean_by(self) -> Person | None:
        return meant(self, "by", places.person_said)  # type: ignore[no-any-return]
