"""What a name of an animal has to be. Pure: facts in, sentences out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from catalog.ground.refusal import Reason

LONGEST = {
    "name": 200,
    "author": 200,
    "common_name": 200,
    "group": 80,
    "kingdom": 80,
    "phylum": 80,
    "class_name": 80,
    "order": 80,
    "family": 80,
    "note": 10_000,
}
SAYABLE = frozenset(LONGEST) | {"rank"}


def tidied(said: Mapping[str, Any]) -> dict[str, Any]:
    """The same with single spaces in names; notes stay as they are."""
    return {n: v if n == "note" or not isinstance(v, str) else " ".join(v.split()) for n, v in said.items()}


def wrong_in(said: Mapping[str, Any], *, ranks: list[str], there: str = "") -> list[Reason]:
    """Reasons against a name. `there` is the same name with the same author, where it is on the list already."""
    found = [Reason(f"A name has no {name!r}.", name) for name in said if name not in SAYABLE]
    if "name" in said and not said["name"]:
        found.append(Reason("Write the scientific name, such as Upogebia deltaura.", "name"))
    if "name" in said and not any(sign.isalpha() for sign in said["name"]):
        found.append(Reason("A scientific name is made of letters.", "name", said=said["name"]))
    if "rank" in said and said["rank"] not in ranks:
        found.append(Reason(f"Choose one of these ranks: {', '.join(ranks)}.", "rank", said=str(said["rank"])))
    if there:
        found.append(Reason("This name is on the list already.", "name", remedy=there, said=said.get("name", "")))
    for name, most in LONGEST.items():
        if len(str(said.get(name) or "")) > most:
            found.append(Reason(f"Shorten this to {most} letters; it has {len(said[name])}.", name))
    return found
