"""People on record, who is invited, what they may do, and their tokens."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms

from catalog.ground.fields import ExactDayField, Form, ManyPicksField, PicksField, Section, TextLine, Words
from catalog.ground.roles import ACTS, ROLES
from catalog.people.forms.base import ChoiceList
from catalog.people.models import Contact, Person
from catalog.people.orcid_check import read_orcid, read_ror
from catalog.people.said import ContactSaid, InvitationSaid, PersonSaid

ROLE_WORDS = [(role, role) for role in ROLES]


class PersonForm(Form):
    """A person or a body, and for who may read it how to reach them."""

    what = "person"
    kind = PicksField("Is it a person or a body?", choices=Person.KINDS)
    name = TextLine("Name", most=150, wanted="Write the name, such as Jonna Beck.")
    does = TextLine("What they do", required=False, hint="Such as: botanist; museum of the low shore.")
    town = TextLine("Town", most=120, required=False)
    orcid = TextLine("ORCID", most=60, figures=True, required=False, hint="Of a person, such as 0000-0002-1825-0097.")
    ror = TextLine("ROR", most=60, figures=True, required=False, hint="Of a body, such as 05dxps055.")
    note = Words("Note", required=False, rows=3)
    may_be_named = PicksField(
        "May they be named in public?", choices=[("no", "No"), ("yes", "Yes, they agreed")], required=False
    )
    email = TextLine("E-mail", most=254, required=False, autocomplete="off")
    phone = TextLine("Telephone", most=60, required=False, autocomplete="off")
    address = Words("Address", most=1000, rows=3, required=False)
    contact_version = forms.IntegerField(required=False, widget=forms.HiddenInput)
    sections: ClassVar[list[Section]] = [
        Section("Known elsewhere as", ["orcid", "ror"], folded=True),
        Section("In public", ["may_be_named"], "Visitors' pages and exports name only who agreed."),
        Section("How to reach them", ["email", "phone", "address"], "Only the registrar and the keeper read this."),
    ]

    def __init__(self, *args: Any, private: bool, **rest: Any) -> None:
        super().__init__(*args, **rest)
        if not private:
            for name in ("email", "phone", "address", "contact_version"):
                del self.fields[name]
        self.private = private

    def clean_orcid(self) -> str:
        return _read(read_orcid, self.cleaned_data["orcid"])

    def clean_ror(self) -> str:
        return _read(read_ror, self.cleaned_data["ror"])

    def clean_email(self) -> str:
        return _email(self.cleaned_data["email"])

    def said(self) -> PersonSaid:
        data = self.cleaned_data
        words = {name: data[name] for name in ("name", "kind", "town", "does", "orcid", "ror", "note")}
        return PersonSaid(**words, may_be_named=data["may_be_named"] == "yes")

    def contact(self) -> ContactSaid | None:
        """None where the reader may not know, or where nothing is said."""
        if not self.private:
            return None
        data = self.cleaned_data
        said = ContactSaid(data["email"], data["phone"], data["address"])
        return said if said != ContactSaid() or data["contact_version"] else None


def facts_of(person: Person, contact: Contact | None) -> dict[str, Any]:
    """What the form begins with."""
    facts: dict[str, Any] = {n: getattr(person, n) for n in ("kind", "name", "does", "town", "orcid", "ror", "note")}
    facts |= {"may_be_named": "yes" if person.may_be_named else "no", "version": person.version}
    if contact:
        facts |= {n: getattr(contact, n) for n in ("email", "phone", "address")} | {"contact_version": contact.version}
    return facts


def _read(read: Any, text: str) -> str:
    try:
        return str(read(text)) if text else ""
    except ValueError as error:
        raise forms.ValidationError(str(error)) from error


def _email(text: str) -> str:
    try:
        return str(forms.EmailField(required=False).clean(text))
    except forms.ValidationError as error:
        raise forms.ValidationError(
            "Write the address as it stands on a letter, such as imke@station.example."
        ) from error


class InviteForm(Form):
    what = "invitation"
    name = TextLine("Who comes in?", most=150, autocomplete="off", wanted="Write their name, such as Saar Osei.")
    role = PicksField("As what?", choices=ROLE_WORDS)
    email = TextLine("Their e-mail", most=254, required=False, autocomplete="off")

    def clean_email(self) -> str:
        return _email(self.cleaned_data["email"])

    def said(self, person_pk: int | None = None) -> InvitationSaid:
        data = self.cleaned_data
        return InvitationSaid(data["name"], data["role"], data["email"], person_pk)


class RolesForm(Form):
    what = "role"
    roles = ManyPicksField("Which roles do they hold?", choices=ROLE_WORDS)


class LeaveForm(Form):
    """One act more for one person."""

    what = "leave"
    act = ChoiceList(
        "What may they do beside their role?", choices=[("", "Choose an act"), *((a, a) for a in sorted(ACTS))]
    )
    until = ExactDayField("Until which day?", from_today=True, required=False)
    ground = TextLine("Why", most=300, required=False)


SCOPES = {
    "all": "Whatever its person may, but nothing that cannot be taken back",
    "read": "Only read",
    "tool": "An instrument: find a thing by its number, add photographs",
    "named": "Only the acts named below",
}
_READ = "record.read history.read register.read register.verify find place.read export.rows subject.find"


class TokenForm(Form):
    what = "token"
    called = TextLine(
        "What is it for?", most=120, wanted="Say in a few words what it is for, such as Bal-2 in the workshop."
    )
    kind = PicksField(
        "Who uses it?", choices=[("tool", "An instrument, for a year"), ("hand", "A person, for 90 days")]
    )
    may = PicksField("What may it do?", choices=list(SCOPES.items()))
    acts = TextLine(
        "Acts by name",
        most=500,
        required=False,
        figures=True,
        hint="Such as photo.add move.do. What cannot be taken back is allowed only where it is named here.",
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("may") == "named" and not data.get("acts"):
            self.add_error("acts", "Name at least one act, such as photo.add.")
        return data

    def scope(self) -> str:
        wide = {"all": "all", "read": _READ, "tool": "subject.find photo.add"}.get(self.cleaned_data["may"], "")
        return f"{wide} {self.cleaned_data['acts']}".strip()
