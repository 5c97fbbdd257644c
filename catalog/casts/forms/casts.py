"""What was typed about a cast, read into what the actions take."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import MASS_STATES, MATERIALS, Cast
from catalog.casts.reads import subject_of
from catalog.casts.rules.casts import LABELS
from catalog.excavations.models import Excavation
from catalog.ground import fields as f
from catalog.ground.refusal import Refusal
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to

_AMOUNTS = ("mass", "length", "width", "height")


def _choices(names: list[str]) -> list[tuple[str, str]]:
    return [(n, n) for n in names]


class DescribeForm(f.Form):
    """Record what it is: everything may be unknown."""

    what = "description"
    pencil = "describe"
    sections = [
        f.Section(
            "What is it?", ["description", "kind", "material", "material_words", "method", "animal_words", "original"]
        ),
        f.Section("Where does it come from?", ["excavation", "made_on", "extent"]),
        f.Section("How much is it?", ["n_parts", "mass", "mass_state", "length", "width", "height"]),
        f.Section("How is it handled?", ["fragile", "handling", "hazards"]),
        f.Section("What else should be known?", ["note"]),
    ]
    description = f.TextLine("In a line", most=500, wanted="Write in a line what it is.")
    kind = f.PicksField("Is it", choices=[(k, w.capitalize()) for k, w in Cast.KINDS], required=False)
    material = f.PicksField("Of what?", choices=_choices(MATERIALS), required=False)
    material_words = f.TextLine("Material, closer", required=False, hint="Maker, colour, mixture.")
    method = f.TextLine(
        "How was it made?", required=False, most=300, hint="Poured from above in one go, in three pours, …"
    )
    animal_words = f.TextLine(
        "Which animal, as far as anybody said?",
        required=False,
        hint="Who says so and on which ground is written as a determination.",
    )
    original = f.ChooserField("If it is a replica: of which cast?", kind="cast", required=False)
    excavation = f.ChooserField("Excavation", kind="excavation", required=False)
    made_on = f.UncertainDayField(
        "When was it poured?", required=False, hint="A day, a year, “about 1987”, “summer 2011”."
    )
    extent = f.PicksField(
        "How much of the nest?",
        choices=[("complete", "All of it"), ("partial", "A part"), ("unknown", "Not known")],
        required=False,
    )
    n_parts = f.CountField("How many parts?", required=False, unit="parts")
    mass = f.AmountField("Mass", unit="g", what="mass", required=False)
    mass_state = f.PicksField("In which state was it weighed?", choices=MASS_STATES, required=False)
    length = f.AmountField("Length", unit="mm", what="length", required=False)
    width = f.AmountField("Width", unit="mm", what="width", required=False)
    height = f.AmountField("Height", unit="mm", what="height", required=False)
    fragile = f.PicksField(
        "Is it fragile?", choices=[("yes", "Yes, it asks for a reason to be moved"), ("no", "No")], required=False
    )
    handling = f.Words("How to handle it", required=False, hint="Two people, lift under section 3.")
    hazards = f.Words("Hazards", required=False)
    note = f.Words("Notes", required=False, most=10_000)

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)

    def clean_excavation(self) -> Excavation | None:
        return _excavation(self, self.actor, self.cleaned_data["excavation"])

    def clean_original(self) -> Cast | None:
        chosen = self.cleaned_data["original"]
        if not chosen:
            return None
        try:
            return subject_of(self.actor, chosen.value or chosen.text).cast
        except Refusal as refusal:
            self.add_error("original", str(refusal))
            return None

    def said(self) -> dict[str, Any]:
        """What the action takes: only the fields of a cast."""
        typed = self.cleaned_data
        changes = {n: typed[n] for n in LABELS if n in typed and n not in ("fragile",)}
        for name in _AMOUNTS:
            amount = typed[name]
            unit = "g" if name == "mass" else "mm"
            changes[f"{name}_{unit}"] = amount.value if amount else None
            if name == "mass":
                changes["mass_u_g"] = amount.uncertainty if amount else None
                changes["mass_said"] = amount.said if amount else ""
        changes["fragile"] = typed["fragile"] == "yes"
        return changes

    @staticmethod
    def begin(cast: Cast) -> dict[str, Any]:
        """What stands in the form at first."""
        begun = {n: getattr(cast, n) for n in LABELS if hasattr(cast, n)}
        begun |= {
            "mass": cast.mass_said or cast.mass_g,
            "length": cast.length_mm,
            "width": cast.width_mm,
            "height": cast.height_mm,
        }
        begun["fragile"] = "yes" if cast.fragile else "no"
        begun["excavation"] = f.Chosen(cast.excavation.number, cast.excavation.number) if cast.excavation else None
        begun["original"] = f.Chosen(cast.original.number, cast.original.number) if cast.original else None
        begun["version"] = cast.version
        return begun


def _excavation(form: f.Form, actor: Actor, chosen: f.Chosen | None) -> Excavation | None:
    if not chosen:
        return None
    rows = visible_to(actor, Excavation.objects.all())
    words = chosen.value or chosen.text
    found = rows.filter(number__iexact=words).first() or rows.filter(field_number__iexact=words).first()
    if found is None:
        form.add_error(
            "excavation",
            f"“{words}” is not an excavation of ours. Write it under Excavations first, or leave this empty.",
        )
    return found


class FormerNumberForm(f.Form):
    """An older number or tag, letter for letter."""

    what = "former number"
    text = f.TextLine("The number or words on it, letter for letter", most=300, figures=True)
    where_from = f.TextLine("From which list, or whose number?", required=False)
