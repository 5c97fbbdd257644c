"""What was typed about a place or a movement, read into what the actions take."""

from __future__ import annotations

import re
from datetime import date, datetime, time
from typing import Any

from django import forms
from django.utils import timezone

from catalog.casts.subject import Subject
from catalog.ground import fields as f
from catalog.ground.collection import local, today, zone
from catalog.ground.edtf import from_words, in_words, read_edtf
from catalog.ground.fields.base import Asks, refuse
from catalog.ground.refusal import Refusal
from catalog.ground.roles import Actor
from catalog.people.models import Person
from registry.places import reads
from registry.places.models import Place

_HOUR = re.compile(r"(?P<day>.*?)[ ,T]*(?P<hour>[01]?\d|2[0-3])[:.](?P<minute>[0-5]\d)(?::[0-5]\d)?")


class HourInput(forms.TextInput):
    input_type = "datetime-local"
    template_name = "look/widgets/line.html"


class HourField(Asks, forms.CharField):
    """A day and an hour in the collection's time -> aware `datetime`, or None. A day alone is its noon, an hour alone is today's."""

    widget = HourInput
    wanted = "Write a day and an hour, such as 11 June 2026 14:02."

    def __init__(self, label: str = "", **rest: Any) -> None:
        super().__init__(label, **rest)
        self.widget.attrs |= {"class": "in day"}

    def to_python(self, value: Any) -> Any:
        if isinstance(value, datetime):
            return value
        said = super().to_python(value)
        return read_hour(said) if said else None

    def validate(self, value: Any) -> None:
        if value is None:
            super().validate("")

    def run_validators(self, value: Any) -> None:
        """An hour is checked where it is read."""

    def prepare_value(self, value: Any) -> Any:
        return local(value).strftime("%Y-%m-%dT%H:%M") if isinstance(value, datetime) else value


def read_hour(said: str) -> datetime:
    """`2026-11-20T14:02`, `20 November 2026, 14:02`, `yesterday`'s kind of day alone, `14:02`. ValidationError otherwise."""
    found = _HOUR.fullmatch(said.strip())
    words, hour = (found["day"], time(int(found["hour"]), int(found["minute"]))) if found else (said, time(12))
    day = _day(words.strip(" ,")) if words.strip(" ,") else today()
    at = datetime.combine(day, hour, tzinfo=zone())
    return timezone.now() if not found and day == today() else at


def _day(words: str) -> date:
    try:
        span = read_edtf(from_words(words, today=today(), day_first=True, past_only=False))
    except ValueError as error:
        raise refuse(error) from error
    if span.earliest is None or span.precision != "day" or span.uncertain or span.approximate:
        raise refuse(f"Here the day and the hour are wanted, not {in_words(span.text)}. {HourField.wanted}")
    return span.earliest


class _Placing(f.Form):
    """A form that names things and places: what each means to this reader."""

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)

    def meant(self, name: str, read: Any) -> Any:
        """What was chosen or typed in a chooser, read; the sentence of a refusal at its field."""
        chosen = self.cleaned_data.get(name)
        if not chosen:
            return None
        try:
            return read(self.actor, chosen.value or chosen.text, name)
        except Refusal as refusal:
            self.add_error(name, str(refusal))
            return None


class MoveForm(_Placing):
    """What goes where, because, when, by whom, until when."""

    pencil = "movement"
    outbox = "/api/v1/movements/"
    what = f.ChooserField("Move", kind="cast", wanted="Scan or write the number of what is moved.")  # type: ignore[assignment]
    to = f.PlaceField("to", wanted="Scan or write the place that it goes to.")
    because = f.TextLine("because", required=False, most=300)
    back_on = f.ExactDayField("to be back on", required=False)
    at = HourField("When was it moved?", required=False, hint="Empty is now.")
    by = f.ChooserField("Who moved it?", kind="person", required=False)

    def clean_what(self) -> Subject | Place | None:
        return self.meant("what", reads.thing_said)

    def clean_to(self) -> Place | None:
        return self.meant("to", reads.place_said)

    def clean_by(self) -> Person | None:
        """Who presses, where the form did not ask."""
        return reads.me(self.actor) if self.add_prefix("by") not in self.data else self.meant("by", reads.person_said)

    def said(self) -> dict[str, Any]:
        return {n: self.cleaned_data[n] for n in ("what", "to", "because", "back_on", "at", "by")}


MoveForm.what = "movement"  # type: ignore[assignment]  # the word for it; the field of that name stands among the fields


class CorrectForm(_Placing):
    """Where it really went, and what was wrong."""

    what = "correction"
    to = f.PlaceField("Where did it go?", wanted="Scan or write the place that it went to.")
    because = f.TextLine("What was wrong with it?", most=300, wanted="Write what was wrong with it.")

    def clean_to(self) -> Place | None:
        return self.meant("to", reads.place_said)


class HomeForm(_Placing):
    """Where it belongs."""

    what = "home place"
    home = f.PlaceField("Where does it belong?", required=False, hint="Empty: nobody has said.")

    def clean_home(self) -> Place | None:
        return self.meant("home", reads.place_said)


class KindField(Asks, forms.ChoiceField):
    """One of many kinds, from a list that opens."""

    widget = forms.Select
    wanted = "Choose what kind of place it is."

    def __init__(self, label: str = "", **rest: Any) -> None:
        rest["error_messages"] = {"invalid_choice": self.wanted}
        super().__init__(label, choices=[("", "Choose"), *((k, w.capitalize()) for k, w in Place.KINDS)], **rest)
        self.widget.attrs |= {"class": "in auto"}


class ChangePlaceForm(_Placing):
    """What is said of a place."""

    what = "place"
    sections = [
        f.Section("What is it?", ["code", "name", "kind", "movable", "parent"]),
        f.Section("What is it fit for?", ["holds_kg", "fitness", "who_enters"]),
        f.Section("What else should be known?", ["note"]),
    ]
    name = f.TextLine("What is it called?", wanted="Write what the place is called, such as Shelf 3.")
    kind = KindField("What kind of place is it?")
    movable = f.PicksField(
        "Does it move with what is in it?",
        choices=[("yes", "Yes, it is a container"), ("no", "No, it stays where it is")],
        required=False,
    )
    parent = f.PlaceField("What does it stand in?", required=False)
    holds_kg = f.AmountField("How much does it hold?", unit="kg", what="load", required=False)
    fitness = f.Words(
        "What is it fit for?", required=False, rows=3, hint="Dry, dark, heated in winter, not for heavy things."
    )
    who_enters = f.TextLine("Who enters it?", required=False)
    note = f.Words("Notes", required=False, rows=3)

    def clean_parent(self) -> Place | None:
        return self.meant("parent", reads.place_said)

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        kept = {n: typed[n] for n in ("name", "kind", "parent", "fitness", "who_enters", "note")}
        kept["movable"] = {"yes": True, "no": False}.get(typed["movable"])
        kept["holds_kg"] = typed["holds_kg"].value if typed["holds_kg"] else None
        return kept


class PlaceForm(ChangePlaceForm):
    """A new place: with its code, which is its label for ever."""

    pencil = "place"
    code = f.TextLine(
        "Its code, as it stands on the label",
        most=20,
        figures=True,
        hint="Letters first, then figures and hyphens: B-3, K-12. It stays.",
        wanted="Write its code, such as B-3.",
    )
