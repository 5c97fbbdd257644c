"""What may be said of a cast and what hinders a change. Pure: facts in, sentences out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from catalog.ground.refusal import Reason

DESCRIBABLE = frozenset(
    {
        "kind",
        "description",
        "material",
        "material_words",
        "method",
        "animal_words",
        "excavation",
        "original",
        "made_on",
        "n_parts",
        "mass_g",
        "mass_u_g",
        "mass_state",
        "mass_said",
        "length_mm",
        "width_mm",
        "height_mm",
        "fragile",
        "handling",
        "hazards",
        "extent",
        "note",
    }
)
# what the fields of a cast are called on pages
LABELS = {
    "kind": "What it is",
    "description": "In a line",
    "material": "Material",
    "material_words": "Material, closer",
    "method": "Way of making",
    "animal_words": "Animal, as first said",
    "excavation": "Excavation",
    "original": "Replica of",
    "made_on": "Made on",
    "n_parts": "Number of parts",
    "mass_g": "Mass, g",
    "mass_u_g": "Uncertainty of the mass, g",
    "mass_state": "State when weighed",
    "mass_said": "Mass as typed",
    "length_mm": "Length, mm",
    "width_mm": "Width, mm",
    "height_mm": "Height, mm",
    "fragile": "Fragile",
    "handling": "How to handle it",
    "hazards": "Hazards",
    "extent": "How much of the nest",
    "note": "Notes",
    "taxon": "Animal",
    "qualifier": "Qualifier",
    "number": "Number",
    "year": "Year",
    "closed_as": "Closed as",
    "published_on": "Published on",
}
# written by acts that have a layer of their own in the history
TOLD_ELSEWHERE = frozenset(
    {"number", "year", "taxon", "qualifier", "published_on", "closed_as", "made_earliest", "made_latest"}
)
_LIMITS = {"mass_g": ("A mass", Decimal(10_000_000)), "length_mm": ("A length", Decimal(100_000))}
_LONGEST = 10_000


def wrong_in(changes: Mapping[str, Any], *, today: date, made_latest: date | None = None) -> list[Reason]:
    """Reasons against a description: what is unknown to us, below zero, in the future, too long."""
    found = [Reason(f"A cast has no {name!r}.", name) for name in changes if name not in DESCRIBABLE]
    for name in ("mass_g", "mass_u_g", "length_mm", "width_mm", "height_mm"):
        found += _wrong_figure(name, changes.get(name))
    parts = changes.get("n_parts")
    if parts is not None and parts < 0:
        found.append(Reason("A number of parts cannot be below zero.", "n_parts", said=str(parts)))
    if parts is not None and parts > 100_000:
        found.append(Reason("More than 100 000 parts: count crumbs as one lot.", "n_parts", said=str(parts)))
    if made_latest and made_latest.year > today.year + 1:
        found.append(Reason("This day has not come yet. Write when it was made.", "made_on"))
    if "description" in changes and not str(changes["description"] or "").strip():
        found.append(Reason("Write in a line what it is.", "description"))
    return found + _too_long(changes)


def _wrong_figure(name: str, value: Decimal | None) -> list[Reason]:
    if value is None:
        return []
    what, most = _LIMITS["mass_g"] if name.startswith("mass") else _LIMITS["length_mm"]
    if value < 0:
        return [Reason(f"{what} cannot be below zero.", name, said=str(value))]
    if value > most:
        return [Reason(f"{what} of {value} is more than any cast has. Look at the unit.", name, said=str(value))]
    return []


def _too_long(changes: Mapping[str, Any]) -> list[Reason]:
    return [
        Reason(f"This is {len(v)} letters long. Write at most {_LONGEST}, or add a paper.", name)
        for name, v in changes.items()
        if isinstance(v, str) and len(v) > _LONGEST
    ]


def hinders_renumbering(number: str, *, taken: bool) -> list[Reason]:
    """A number is never given twice."""
    return [Reason(f"{number} was given before. A number is never given twice.", "number")] if taken else []


def hinders_accepting(*, accepted: bool) -> list[Reason]:
    """An accepted determination is not accepted again."""
    return [Reason("This determination is the accepted one already.")] if accepted else []
