"""Lines of the register that people write: taken over, put right, made void."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Cast
from catalog.casts.reads import subject_of
from catalog.ground import fields as f
from catalog.ground.refusal import Refusal
from catalog.ground.roles import Actor
from registry.accessions.said import CorrectionSaid, TranscribedSaid
from registry.accessions.states import TITLE_STATES

MEMBERS = {
    "object": "What it is",
    "pieces": "The number of parts",
    "mass_g": "The mass, in grams",
    "entry": "The entry number",
    "date": "The date",
    "title": "The title of the register",
}


class TranscribeForm(f.Form):
    """A line as it stands in the older book. What the page lacks stays empty."""

    number = f.TextLine(
        "Number, as it stands there", most=40, figures=True, wanted="Write the number as it stands there."
    )
    date = f.UncertainDayField("Date, as it stands there", required=False)
    object = f.TextLine("What the book says it is", most=500, wanted="Write what the book says.")
    book = f.TextLine("Which book?", most=150, wanted="Write which book it is taken over from.")
    page = f.TextLine("Page", required=False, most=40)
    entry = f.TextLine("Entry", required=False, most=40)
    sure = f.PicksField("Could it be read?", choices=[("yes", "Yes"), ("in part", "In part"), ("no", "Hardly")])
    title = f.PicksField("The state of title", choices=[(k, w.capitalize()) for k, w in TITLE_STATES])
    parts = f.CountField("How many parts?", required=False, least=1, unit="parts")
    cast = f.ChooserField(
        "Which object is it, if it is entered already?", kind="cast", required=False,
        hint="Left empty, a record is begun under this number.",
    )  # fmt: skip
    gone = f.PicksField(
        "Is the object here?", choices=[("no", "Yes, or it is looked for"), ("yes", "No, it is gone")], required=False
    )
    scan = f.PaperField("The page as a photograph", required=False)

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)

    def clean_cast(self) -> Cast | None:
        chosen = self.cleaned_data["cast"]
        if not chosen:
            return None
        try:
            return subject_of(self.actor, chosen.value or chosen.text).cast
        except Refusal as refusal:
            self.add_error("cast", str(refusal))
            return None

    def said(self) -> TranscribedSaid:
        typed, scan = self.cleaned_data, self.cleaned_data["scan"]
        names = ("number", "date", "object", "book", "page", "entry", "sure", "title", "parts", "cast")
        return TranscribedSaid(
            **{n: typed[n] for n in names}, gone=typed["gone"] == "yes", upload=scan.file if scan else None
        )


class CorrectionForm(f.Form):
    """What should stand, in which member, and why."""

    field = f.PicksField("What is wrong?", choices=[])
    is_right = f.TextLine("What should it be?", most=500, wanted="Write what it should be.")
    ground = f.Words("Why? It stands in the register for ever.", rows=3, most=500, wanted="Write why.")

    def __init__(self, *args: Any, fields: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["field"].choices = [(name, MEMBERS.get(name, name)) for name in fields]  # type: ignore[attr-defined]

    def said(self) -> CorrectionSaid:
        return CorrectionSaid(self.cleaned_data["field"], self.cleaned_data["is_right"], self.cleaned_data["ground"])


class VoidForm(f.Form):
    """A number that was used outside the register, or lost."""

    number = f.TextLine("Which number?", most=40, figures=True, wanted="Write the number that is closed.")
    ground = f.Words("Why? It stands in the register for ever.", rows=3, most=500, wanted="Write why.")
