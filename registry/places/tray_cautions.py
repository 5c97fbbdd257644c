"""Cautions beside the tray: washing, dust, lifting. Common practice, no source; HSE on planned lifting, OSHA on dust."""

from __future__ import annotations

from catalog.excavations.cautions import DUST, Caution

WASHING = Caution(
    "Wash over a sieve, and two labels stay with the bag.",
    "Wet edges cut, metal edges most of all: wear gloves. A label is lost in washing sooner than a piece.",
    "hand",
)
LIFTING = Caution(
    "Carry it level, do not stack.",
    "Wet plaster is half as heavy again as dry. Two people for what one cannot hold steady; the way is clear before it is lifted.",
    "carry",
)
AT_THE_TRAY = (WASHING, LIFTING, DUST)
