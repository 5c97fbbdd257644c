"""The four screens of the first start, and the collection's decisions afterwards."""

from __future__ import annotations

from dataclasses import fields
from typing import Any, ClassVar

from catalog.ground.fields import CountField, ExactDayField, Form, PicksField, Section, TextLine, Words
from catalog.ground.models import Collection
from catalog.people.forms.base import ChoiceList, PasswordField
from catalog.people.rules import zones
from catalog.people.said import CollectionSaid

YES_NO = [("yes", "Yes"), ("no", "No")]
ALONE = [("no", "Somebody decides beside me"), ("yes", "I am alone")]


class Step(Form):
    """One screen of the welcome; nothing is written before the last."""

    what = "register"


class YouForm(Step):
    person = TextLine("Your name", most=150, autocomplete="name", hint="As it stands in records; you sign in with it.")
    email = TextLine("Your e-mail", most=254, required=False, autocomplete="email", hint="For a new password.")
    password = PasswordField("A password", new=True)

    def __init__(self, *args: Any, kept: bool = False, **rest: Any) -> None:
        super().__init__(*args, **rest)
        if kept:
            self.fields["password"].required = False
            self.fields["password"].label = "Another password"
            self.fields["password"].help_text = "The one you wrote is kept."


class OursForm(Step):
    name = TextLine("What is the collection called?", hint="Such as: Tarn Holm dune and marsh station.")
    code = TextLine(
        "Its code",
        most=12,
        figures=True,
        hint="Two to four letters that stand before every number on paper, such as TH.",
    )

    def clean_code(self) -> str:
        return str(self.cleaned_data["code"]).upper()


class NumbersForm(Step):
    pattern = TextLine(
        "How are casts numbered?",
        most=24,
        figures=True,
        hint="{year} is the year, {n} the number within it.",
        wanted="Write {year} and {n} once each, such as {year}.{n}.",
    )
    last_on_paper = CountField(
        "The last number used this year on paper",
        hint="So that none is given twice. 0 when there is none.",
        most=99_999,
    )


class DecidesForm(Step):
    zone = ChoiceList("Time zone", choices=[])
    currency = TextLine("Currency", most=3, figures=True, hint="Its three letters, such as EUR.")
    alone = PicksField("Who decides beside you?", choices=ALONE)
    witness = TextLine(
        "Who witnesses from outside",
        required=False,
        hint="If you are alone: somebody who sees your decisions. It may be named later.",
    )
    checkpoint_mail = TextLine(
        "An address outside that keeps the register's seals",
        most=254,
        required=False,
        autocomplete="off",
        hint="A mailbox that is not in this house. It may be named later.",
    )

    def __init__(self, *args: Any, **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.fields["zone"].choices = [("", "Choose the nearest city"), *((z, z.replace("_", " ")) for z in zones())]  # type: ignore[attr-defined]

    def clean_currency(self) -> str:
        return str(self.cleaned_data["currency"]).upper()


class SettingsForm(Form):
    """Everything that is decided of the collection."""

    what = "setting"
    name = TextLine("Name of the collection")
    code = TextLine("Its code", most=12, figures=True)
    about = Words("About the collection, for visitors", required=False, rows=3)
    address = Words("Address on papers", required=False, rows=3, most=1000)
    reach_us = TextLine(
        "How to reach us", most=300, required=False, hint="Said to whoever scans a code and is not signed in."
    )
    accession_pattern = TextLine("Numbers of casts", most=24, figures=True)
    entry_pattern = TextLine("Numbers of entries", most=24, figures=True)
    zone = ChoiceList("Time zone", choices=[])
    currency = TextLine("Currency", most=3, figures=True)
    decimal = PicksField(
        "1.500 g is", choices=[("point", "one and a half gram"), ("comma", "1500 gram"), ("ask", "asked back")]
    )
    day_first = PicksField("3/4/2011 is", choices=[("yes", "3 April"), ("no", "4 March"), ("ask", "asked back")])
    south = PicksField("Summer is", choices=[("no", "June to August"), ("yes", "December to February")])
    paper = PicksField("Paper", choices=[("a4", "A4"), ("letter", "Letter")])
    alone = PicksField("Who decides?", choices=[("no", "Two or more people"), ("yes", "One person alone")])
    witness = TextLine("Who witnesses from outside, where one decides alone", required=False)
    own_digs_kept = PicksField("Are casts of our own digs kept by a standing decision?", choices=YES_NO)
    own_digs_minute = TextLine("Minute of that decision", most=300, required=False)
    own_digs_decided_on = ExactDayField("Decided on", past_only=True, required=False)
    own_digs_decided_by = TextLine("Decided by", required=False)
    entry_days = CountField("An entry without a decision is asked about after", least=1, most=3650, unit="days")
    label_address = TextLine(
        "Address in the codes on labels", most=200, required=False, hint="Such as https://casts.example."
    )
    checkpoint_mail = TextLine("Address outside that keeps the register's seals", most=254, required=False)
    second_factor = PicksField("Do registrar and keeper need a second factor?", choices=YES_NO)
    sections: ClassVar[list[Section]] = [
        Section("What the collection is", ["name", "code", "about", "address", "reach_us"]),
        Section("Numbers", ["accession_pattern", "entry_pattern"], "Numbers that were given stay as they are."),
        Section("How days, figures and papers look", ["zone", "currency", "decimal", "day_first", "south", "paper"]),
        Section("Who decides", ["alone", "witness"]),
        Section("Our own digs", ["own_digs_kept", "own_digs_minute", "own_digs_decided_on", "own_digs_decided_by"]),
        Section(
            "Reminders, labels, seals, safety", ["entry_days", "label_address", "checkpoint_mail", "second_factor"]
        ),
    ]

    def __init__(self, *args: Any, **rest: Any) -> None:
        super().__init__(*args, **rest)
        self.fields["zone"].choices = [(z, z.replace("_", " ")) for z in zones()]  # type: ignore[attr-defined]

    def clean_currency(self) -> str:
        return str(self.cleaned_data["currency"]).upper()

    def said(self) -> CollectionSaid:
        data = self.cleaned_data
        plain = {f.name: data[f.name] for f in fields(CollectionSaid) if f.name in data}
        told = {
            "decimal_comma": {"point": False, "comma": True}.get(data["decimal"]),
            "day_first": _yes_no(data["day_first"]),
            "south": _yes_no(data["south"]),
            "letter_paper": data["paper"] == "letter",
            "alone": data["alone"] == "yes",
            "own_digs_kept": data["own_digs_kept"] == "yes",
            "second_factor_for_heads": data["second_factor"] == "yes",
        }
        return CollectionSaid(**(plain | told))


def _yes_no(said: str) -> bool | None:
    return {"yes": True, "no": False}.get(said)


def settings_now(ours: Collection) -> dict[str, Any]:
    """What the settings' form begins with."""
    facts = {f.name: getattr(ours, f.name) for f in fields(CollectionSaid)}
    words = {None: "ask", True: "yes", False: "no"}
    return facts | {
        "decimal": {None: "ask", True: "comma", False: "point"}[ours.decimal_comma],
        "day_first": words[ours.day_first],
        "south": words[bool(ours.south)],
        "paper": "letter" if ours.letter_paper else "a4",
        "alone": words[ours.alone],
        "own_digs_kept": words[ours.own_digs_kept],
        "second_factor": words[ours.second_factor_for_heads],
        "version": ours.version,
    }
