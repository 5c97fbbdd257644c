"""The trade's words for damage, and where a flaw comes from. Pure.

Terms and their plain meanings are common practice of conservators; the scope is that of EN 16095:2012 (from memory, its text was not read).
"""

from __future__ import annotations

FAMILIES: list[tuple[str, list[str]]] = [
    ("Breaks", ["break", "crack", "hairline crack", "craze", "chip", "loss", "missing part"]),
    (
        "Surface",
        [
            "abrasion", "scratch", "dent", "gouge", "flaking", "powdering", "delamination", "detachment", "blister",
            "bubble hole", "staining", "tide line", "soiling", "dust", "adhering soil", "bloom", "yellowing",
            "discolouration", "fading",
        ],
    ),
    ("Salts and water", ["efflorescence", "dissolution", "mould", "pest traces"]),
    (
        "Metal",
        [
            "oxide layer", "tarnish", "even corrosion", "pitting", "active corrosion", "white products", "cold shut",
            "shrinkage cavity", "dross",
        ],
    ),
    (
        "Form",
        ["deformation", "sagging", "creep", "bending", "warping", "shrinkage gap", "embrittlement", "softening", "tack"],
    ),
    (
        "Old work",
        [
            "failed join", "failed fill", "misaligned join", "excess adhesive", "overfill", "overpaint",
            "stain from old adhesive", "old fixing rust", "visible old repair",
        ],
    ),
    (
        "Mount and marking",
        [
            "loose support", "cracked support", "corroded support", "point load", "missing padding", "wear of marking",
        ],
    ),
]  # fmt: skip
TERMS: list[str] = [term for _, terms in FAMILIES for term in terms]
ORIGINS: list[tuple[str, str]] = [
    ("from making", "from making"),
    ("from the ground", "from the ground"),
    ("from lifting", "from lifting"),
    ("from handling", "from handling"),
    ("from travel", "from travel"),
    ("from mount", "from the mount"),
    ("from age or surroundings", "from age or surroundings"),
    ("unknown", "not known"),
]
# part of the evidence, and not damage to be mended
EVIDENCE = frozenset({"from making", "from the ground"})
