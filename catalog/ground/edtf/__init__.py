"""Uncertain dates: EDTF text read to days, typed words made into EDTF text, EDTF text shown in words."""

from catalog.ground.edtf.reading import UNKNOWN, Span, read_edtf
from catalog.ground.edtf.shown import in_words
from catalog.ground.edtf.typed import doubts, from_words

__all__ = ["UNKNOWN", "Span", "doubts", "from_words", "in_words", "read_edtf"]
