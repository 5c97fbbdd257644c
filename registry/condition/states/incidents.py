"""The closed lists of incidents: what kind, how it happened, what is left of it."""

from __future__ import annotations

KINDS = [("breakage", "breakage"), ("damage", "damage"), ("missing", "missing"), ("found", "found again")]
HOWS = [
    ("handling", "being handled"),
    ("fell", "it fell"),
    ("mount", "its mount gave way"),
    ("transport", "on the way"),
    ("surroundings", "damp, dry or heat"),
    ("pest", "pests"),
    ("water", "water"),
    ("fire", "fire"),
    ("visitor", "a visitor"),
    ("not known", "not known"),
]
WAYS = [
    ("parts", "it broke into parts"),
    ("one body", "one body is left"),
    ("not known", "its parts are not known yet"),
]
