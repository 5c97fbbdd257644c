"""The door page and what is written of an entry later. Its fields bear the API's names: without signal they are sent there."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from catalog.excavations.models import Excavation
from catalog.ground import fields as f
from catalog.ground.collection import collection
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.people.models import Person
from catalog.people.reads import person_meant
from registry.accessions.models import Entry
from registry.accessions.rules import money_in
from registry.accessions.said import EntrySaid, ObjectSaid
from registry.accessions.states import HOWS

FROM = "from"  # a word of the language, so no name in a class body


def tags_in(text: str) -> tuple[str, ...]:
    """One tag a row, letter for letter."""
    return tuple(row.strip() for row in text.splitlines() if row.strip())


def whom(chosen: f.Chosen | None) -> tuple[Person | None, str]:
    """The person that was chosen or named exactly, else the words."""
    if chosen is None:
        return None, ""
    person = person_meant(chosen.value or chosen.text)
    return (person, "") if person else (None, chosen.text)


def dig_meant(form: Any, actor: Actor, chosen: f.Chosen | None) -> Excavation | None:
    """The excavation of that number; an error on the form where there is none."""
    if chosen is None:
        return None
    rows = visible_to(actor, Excavation.objects.all())
    found = rows.filter(number__iexact=chosen.value or chosen.text).first()
    if found is None:
        form.add_error(
            "excavation", f"“{chosen.text}” is not an excavation of ours. Write its number, or leave it empty."
        )
    return found


class EntryForm(f.Form):
    """What came through the door: four answers are enough."""

    what_is_written = "entry"
    what = f.TextLine("What is it, in a line?", most=500, wanted="Write in a line what came.")  # type: ignore[assignment]
    how = f.PicksField("How did it come?", choices=HOWS, wanted="Say how it came.")
    parts = f.CountField("How many parts or packages?", required=False, least=1, unit="parts")
    photographs = f.PhotographsField("Photograph", required=False)
    place = f.PlaceField("Where is it now?", required=False)
    former_numbers = f.Words(
        "Any number or words on it, letter for letter", required=False, rows=2, hint="Each tag on a row of its own."
    )
    parts_are = f.TextLine("The parts are", required=False, most=60, hint="Boxes, trays, pieces, …")
    objects = f.CountField(
        "How many objects?",
        required=False,
        least=1,
        most=100,
        unit="objects",
        hint="Each can have a number of its own later.",
    )
    excavation = f.ChooserField("From which excavation?", kind="excavation", required=False)
    owner = f.ChooserField("Who owns it, if it is somebody else?", kind="person", required=False)
    came_on = f.ExactDayField("When did it come, if not today?", required=False, past_only=True)
    back_by = f.ExactDayField("To go back by", required=False)
    value = f.TextLine(
        "Value, as stated",
        required=False,
        most=40,
        inputmode="decimal",
        hint="Read by the registrar and the keeper only.",
    )
    packing = f.TextLine("Packing", required=False, most=300, hint="Keep what it came in.")
    hazards = f.Words("Hazards", required=False, rows=2)
    note = f.Words("Notes", required=False, most=10_000)

    sections = [
        f.Section(
            "From whom, owner, to go back by, value stated, hazards",
            [FROM, "owner", "parts_are", "objects", "excavation", "came_on", "back_by", "value", "packing", "hazards", "note"],
            folded=True,
        )
    ]  # fmt: skip

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)
        self.what = "entry"  # type: ignore[assignment,misc]
        self.pencil, self.outbox = "entry", "/api/v1/entries/"
        self.fields[FROM] = f.ChooserField("From whom?", kind="person", required=False)

    def clean_excavation(self) -> Excavation | None:
        return dig_meant(self, self.actor, self.cleaned_data["excavation"])

    def clean_value(self) -> tuple[Decimal, str] | None:
        typed = self.cleaned_data["value"]
        try:
            return money_in(typed, collection().currency) if typed else None
        except ValueError as error:
            raise ValidationError(str(error)) from None

    def said(self) -> EntrySaid:
        typed = self.cleaned_data
        giver, giver_words = whom(typed[FROM])
        owner, owner_words = whom(typed["owner"])
        place, (amount, currency) = typed["place"], typed["value"] or (None, "")
        same = ("what", "how", "parts", "parts_are", "excavation", "came_on", "back_by", "packing", "hazards", "note")
        return EntrySaid(
            **{name: typed[name] for name in same},
            from_person=giver,
            from_words=giver_words,
            owner=owner,
            owner_words=owner_words,
            place=(place.value or place.text) if place else "",
            former_numbers=tags_in(typed["former_numbers"]),
            photographs=tuple(typed["photographs"]),
            n_objects=typed["objects"] or 1,
            value=amount,
            currency=currency,
        )


class ObjectForm(f.Form):
    """One more object of the same entry."""

    what = f.TextLine("What is it, in a line?", most=500, wanted="Write in a line what it is.")  # type: ignore[assignment]
    parts = f.CountField("How many parts?", required=False, least=1, unit="parts")
    former_numbers = f.Words(
        "Any number or words on it, letter for letter", required=False, rows=2, hint="Each tag on a row of its own."
    )

    def said(self) -> ObjectSaid:
        typed = self.cleaned_data
        return ObjectSaid(typed["what"], typed["parts"], tags_in(typed["former_numbers"]))


class ChangeEntryForm(f.Form):
    """What is said of an entry later: from whom, the owner, the count."""

    what = f.TextLine("What came, in a line", most=500)  # type: ignore[assignment]
    how = f.PicksField("How did it come?", choices=HOWS)
    came_on = f.ExactDayField("When did it come?", past_only=True)
    parts = f.CountField("How many parts or packages?", required=False, least=1, unit="parts")
    parts_are = f.TextLine("The parts are", required=False, most=60)
    owner = f.ChooserField("Who owned it?", kind="person", required=False)
    excavation = f.ChooserField("From which excavation?", kind="excavation", required=False)
    back_by = f.ExactDayField("To go back by", required=False)
    packing = f.TextLine("Packing", required=False, most=300)
    hazards = f.Words("Hazards", required=False, rows=2)
    note = f.Words("Notes", required=False, most=10_000)

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)
        self.fields[FROM] = f.ChooserField("From whom?", kind="person", required=False)
        self.order_fields(["what", "how", "came_on", FROM, "owner"])

    def clean_excavation(self) -> Excavation | None:
        return dig_meant(self, self.actor, self.cleaned_data["excavation"])

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        same = ("what", "how", "came_on", "parts_are", "excavation", "back_by", "packing", "hazards", "note")
        changes = {name: typed[name] for name in same} | {"n_parts": typed["parts"]}
        changes["from_person"], changes["from_words"] = whom(typed[FROM])
        changes["owner"], changes["owner_words"] = whom(typed["owner"])
        return changes

    @staticmethod
    def begin(entry: Entry) -> dict[str, Any]:
        same = ("what", "how", "came_on", "parts_are", "back_by", "packing", "hazards", "note", "version")
        begun = {name: getattr(entry, name) for name in same} | {"parts": entry.n_parts}
        begun[FROM] = chosen_person(entry.from_person, entry.from_words)
        begun["owner"] = chosen_person(entry.owner, entry.owner_words)
        dig = entry.excavation
        begun["excavation"] = f.Chosen(dig.number, dig.number) if dig else None
        return begun


def chosen_person(person: Person | None, words: str) -> Any:
    """What stands in a chooser of people at first."""
    return f.Chosen(person.name, str(person.uid)) if person else words or None
