"""Cautions that stand where the act is recorded: short, no instructions, deferring to local codes and licensed practice."""

from __future__ import annotations

from dataclasses import dataclass

_DEFER = "Follow local codes and licensed practice."


@dataclass(frozen=True)
class Caution:
    """A rule in a few words and why; `icon` of the parts kit."""

    rule: str
    why: str
    icon: str = "caution"

    @property
    def defer(self) -> str:
        return _DEFER


# what stands behind each: HSE "Molten metals: safety topics", NSEAD's advice on plaster, OSHA's letter on silica of 2 November 2018; the rest common practice, no source
NOT_ALONE = Caution(
    "Nobody pours or digs alone.", "A second person can call for help, and sees what the first does not."
)
HOLE = Caution(
    "The sides of a hole can fall in without warning.",
    "Keep out of deep, unsupported digs; cover or fence what is left open; look for cables and gas first.",
)
ANIMALS = Caution(
    "There are animals in the nest.", "They sting and bite, some carry disease, and some are protected by law."
)
DUST = Caution(
    "Dry plaster and soil dust harm the lungs.",
    "No dry sweeping or brushing: work wet, or with a filtered vacuum. Old plaster may hold more than plaster; have it tested.",
)
METAL = Caution(
    "Molten metal and damp ground do not go together.",
    "Water under hot metal turns to steam at once and throws it, and a burrow is damp. Zinc and coated scrap give harmful fumes. Only under trained supervision.",
    "heat",
)
PLASTER = Caution(
    "Setting plaster gets hot.",
    "A large mass can pass 60 °C and burns what is held in it. Never put a hand or limb into it.",
    "heat",
)
RESIN = Caution(
    "Resins, foam and solvents sensitise, and heat up in bulk.",
    "Read the safety data sheet, let air through, wear gloves that fit the product, keep flames away.",
    "hand",
)
WAX = Caution(
    "Hot wax burns and catches fire.", "Melt it in a water bath, away from flames, and keep a lid at hand.", "heat"
)

AT_THE_DIG = (NOT_ALONE, HOLE, ANIMALS, DUST)
_BY_MATERIAL = {
    "plaster": (PLASTER, DUST),
    "zinc": (METAL,),
    "aluminium": (METAL,),
    "lead": (METAL,),
    "wax": (WAX,),
    "epoxy": (RESIN,),
    "polyester resin": (RESIN,),
    "expanding foam": (RESIN,),
}


def at_the_pour(material: str = "") -> tuple[Caution, ...]:
    """Cautions for a pour of this material; all of them while it is not chosen yet."""
    return (NOT_ALONE, *_BY_MATERIAL.get(material, (METAL, PLASTER, RESIN)))
