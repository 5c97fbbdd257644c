"""Form fields as the trade fills them in, their look, and the base of every form.

Files that were chosen are not kept over a failed act: the summary says that they have to be chosen again.
"""

from catalog.ground.fields.choosing import ChooserField, Chosen, ListField, ManyPicksField, PicksField, PlaceField
from catalog.ground.fields.days import ExactDayField, UncertainDayField
from catalog.ground.fields.figures import AmountField, CountField
from catalog.ground.fields.files import PaperField, PhotographsField, SaidPaper
from catalog.ground.fields.form import Form, Section, Summary
from catalog.ground.fields.text import CoordinatesField, TextLine, Words

__all__ = [
    "AmountField",
    "ChooserField",
    "Chosen",
    "CoordinatesField",
    "CountField",
    "ExactDayField",
    "Form",
    "ListField",
    "ManyPicksField",
    "PaperField",
    "PhotographsField",
    "PicksField",
    "PlaceField",
    "SaidPaper",
    "Section",
    "Summary",
    "TextLine",
    "UncertainDayField",
    "Words",
]
