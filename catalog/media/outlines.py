"""Which outline stands for a cast without a photograph, by what its animal's nests are like or what the animal is. Pure.

The outlines themselves: `ground/drawings.py`. Which animal digs in which form: common knowledge, no source.
"""

from __future__ import annotations

from catalog.ground.drawings import OUTLINES

_BY_ANIMAL = {
    "bee": "bundle of shafts",
    "wasp": "bundle of shafts",
    "ant": "chambers on a shaft",
    "termite": "gallery",
    "mole": "gallery",
    "vole": "gallery",
    "crab": "spiral",
    "shrimp": "branching",
    "lugworm": "branching",
}


def outline_for(group: str) -> str:
    """The name of an outline, or "" for a form that is not known: `bundle of shafts` as it is, `ants` by the animal."""
    words = group.lower().strip()
    if words in OUTLINES:
        return words
    return next((form for animal, form in _BY_ANIMAL.items() if words.removesuffix("s").endswith(animal)), "")
