"""One nest dug, and where it lies."""

from __future__ import annotations

from typing import Any, ClassVar

from catalog.excavations import reads
from catalog.excavations.datum import DATUMS
from catalog.excavations.forms.base import FieldForm
from catalog.excavations.models import ExactPlace, Excavation, ExcavationPerson
from catalog.excavations.placing import DATUM_WORDS, HOW_FIXED, PlaceSaid
from catalog.ground import fields as f
from catalog.people.models import Person
from catalog.people.reads import person_meant
from catalog.taxa.reads import taxon_named

_PLAIN = (
    *("field_number", "dug_on", "permit_exception", "entrance", "soil", "weather", "depth_cm", "depths_from"),
    *("bearing_deg", "bearing_is", "extent", "left_in_ground", "left_mass_g", "note"),
)
_MOST_PEOPLE = 40


class DigForm(FieldForm):
    """Everything may be unknown; what is known now is written now."""

    what = "excavation"
    sections: ClassVar[list[f.Section]] = [
        f.Section("When and where?", ["dug_on", "site", "field_number"]),
        f.Section("By whose leave?", ["permit", "consent", "permit_exception"]),
        f.Section("Who was there?", ["people", "new_people"]),
        f.Section("Which animal?", ["taxon", "entrance", "extent"]),
        f.Section("Soil and weather", ["soil", "weather"], folded=True),
        f.Section(
            "Depths and bearings",
            ["depth_cm", "depths_from", "bearing_deg", "bearing_is"],
            hint="Every depth of this dig is measured from one level.",
        ),
        f.Section(
            "What stayed in the ground?",
            ["left_in_ground", "left_mass_g"],
            hint="Spilled or left: so it is not later taken for missing pieces.",
        ),
        f.Section("What else should be known?", ["note"], folded=True),
    ]
    dug_on = f.UncertainDayField(
        "When was it dug?", required=False, hint="A day, a month, “about 1987”, “summer 2011”."
    )
    site = f.ListField("At which site?", none="not known yet", required=False)
    field_number = f.TextLine("Number in the field book", required=False, most=80, figures=True)
    permit = f.ListField("Collecting permit", none="none on record", required=False)
    consent = f.ListField("Landowner's consent", none="none on record", required=False)
    permit_exception = f.Words(
        "If it lies outside the permit: why it is recorded all the same", required=False, rows=2, most=10_000
    )
    people = f.Words(
        "One person a row, and what they did",
        required=False,
        rows=3,
        hint="Tobias Wren: poured. Without the colon it is the name alone.",
    )
    new_people = f.ManyPicksField(
        "Are some of them new here?", choices=[("write", "Write who is not known as new people")], required=False
    )
    taxon = f.ChooserField(
        "Animal", kind="taxon", required=False, hint="A name on our list, or words that are kept as said."
    )
    entrance = f.Words("Entrances: how many, how they looked", required=False, rows=2, most=10_000)
    extent = f.PicksField("How much of the nest was dug?", choices=Excavation.EXTENTS, required=False)
    soil = f.Words("Soil, from above", required=False, rows=2, most=10_000)
    weather = f.TextLine("Weather", required=False, most=300)
    depth_cm = f.AmountField("How deep?", unit="cm", what="depth", required=False)
    depths_from = f.TextLine(
        "From which level are depths measured?", required=False, hint="The entrance's lower lip, the surface beside it."
    )
    bearing_deg = f.AmountField("Bearing", unit="°", what="bearing", required=False)
    bearing_is = f.PicksField("Is the bearing magnetic or true?", choices=Excavation.BEARINGS, required=False)
    left_in_ground = f.Words("What was spilled, or left behind", required=False, rows=2, most=10_000)
    left_mass_g = f.AmountField("Its mass, about", unit="g", what="mass", required=False)
    note = f.Words("Notes", required=False, most=10_000)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sites = list(reads.sites(self.actor).order_by("name"))
        self.papers = list(reads.permits(self.actor).order_by("number"))
        self.fields["site"].offer((str(s.pk), s.name) for s in self.sites)  # type: ignore[attr-defined]
        for name, kind in (("permit", "collecting permit"), ("consent", "landowner's consent")):
            papers = [(str(p.pk), _paper(p)) for p in self.papers if p.kind == kind]
            self.fields[name].offer(papers)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        self.there = self._people(typed.get("people") or "", new="write" in (typed.get("new_people") or []))
        return typed

    def _people(self, rows: str, *, new: bool) -> list[tuple[Person | str, str]]:
        """Who was there and what they did; an error names who is not known."""
        lines = [line.partition(":") for line in rows.splitlines() if line.strip()]
        if len(lines) > _MOST_PEOPLE:
            self.add_error("people", f"At most {_MOST_PEOPLE} people. Write the rest into the notes.")
        named = [(" ".join(who.split()), did.strip()) for who, _, did in lines if who.strip()]
        met = [(person_meant(who) or who, did) for who, did in named]
        unknown = [who for who, _ in met if isinstance(who, str)]
        if unknown and not new:
            words = " and ".join(f"“{who}”" for who in unknown)
            self.add_error("people", f"We do not know {words}. Put the name right, or tick that they are new.")
        return met

    def said(self) -> dict[str, Any]:
        chosen: f.Chosen | None = self.cleaned_data["taxon"]
        taxon = taxon_named(chosen.value or chosen.text) if chosen else None
        return self.of(*_PLAIN) | {
            "site": self.one_of("site", self.sites),
            "permit": self.one_of("permit", self.papers),
            "consent": self.one_of("consent", self.papers),
            "taxon": taxon,
            "animal_words": chosen.text if chosen and not taxon else "",
        }

    @staticmethod
    def begin(dig: Excavation) -> dict[str, Any]:
        begun = {name: getattr(dig, name) for name in _PLAIN} | {"version": dig.version}
        begun |= {name: str(getattr(dig, f"{name}_id") or "") for name in ("site", "permit", "consent")}
        begun["taxon"] = f.Chosen(dig.taxon.name, str(dig.taxon.pk)) if dig.taxon else dig.animal_words
        begun["people"] = "\n".join(_row(p) for p in dig.people.all())
        return begun


def _paper(paper: Any) -> str:
    return f"{paper.number}, {paper.site.name}" if paper.site else paper.number


def _row(named: ExcavationPerson) -> str:
    return f"{named.person.name}: {named.did}" if named.did else named.person.name


class PlaceForm(FieldForm):
    """Where it lies, letter for letter as it was written in the field."""

    what = "place"
    sections: ClassVar[list[f.Section]] = [
        f.Section("Where?", ["where", "datum", "fixed_by", "fixed_words", "within_m"]),
        f.Section("How does one find it again?", ["words", "elevation_m"]),
    ]
    where = f.CoordinatesField(
        "Coordinates, letter for letter",
        hint="Degrees, degrees and minutes, degrees minutes seconds, UTM or MGRS: as the field book or the phone has them.",
    )
    datum = f.PicksField(
        "On which datum?",
        choices=[(d, DATUM_WORDS.get(d, d)) for d in DATUMS],
        hint="Phones say WGS84; a map names its own.",
    )
    fixed_by = f.PicksField("How was it fixed?", choices=HOW_FIXED, required=False)
    fixed_words = f.TextLine("Closer", required=False, most=80, hint="Which map and scale, which receiver.")
    within_m = f.AmountField(
        "How far off may it be?",
        unit="m",
        what="distance",
        required=False,
        hint="As the receiver shows it. Left empty, only what the figures themselves leave open counts.",
    )
    words = f.Words(
        "In words",
        required=False,
        rows=2,
        most=10_000,
        hint="South slope of the second dune. Read only by who may know the place.",
    )
    elevation_m = f.AmountField("Height above the sea", unit="m", what="height", least=None, required=False)

    def said(self) -> PlaceSaid:
        typed = self.cleaned_data
        figures = self.of("within_m", "elevation_m")
        same = {name: typed[name] for name in ("datum", "fixed_by", "fixed_words", "words")}
        return PlaceSaid(typed["where"], **same, **figures)

    @staticmethod
    def begin(place: ExactPlace | None) -> dict[str, Any]:
        if place is None:
            return {"version": 0, "datum": "WGS84"}
        first, _, rest = place.how_fixed.partition(", ")
        known = first in dict(HOW_FIXED)
        return {
            "version": place.version,
            "where": place.said,
            "datum": place.datum,
            "fixed_by": first if known else "",
            "fixed_words": rest if known else place.how_fixed,
            "within_m": place.stated_m,
            "words": place.words,
            "elevation_m": place.elevation_m,
        }
