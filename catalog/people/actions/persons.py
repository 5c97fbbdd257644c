"""People and bodies: put on record, changed, and how they are reached."""

from __future__ import annotations

from catalog.ground.acting import action, locked, store
from catalog.ground.refusal import Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.people.models import Contact, Person
from catalog.people.orcid_check import read_orcid, read_ror
from catalog.people.rules import hinders_person
from catalog.people.said import ContactSaid, PersonSaid


@action("person.write")
def add_person(actor: Actor, said: PersonSaid) -> Person:
    """A person or a body, new on record. Two of one name may be two people."""
    return store(_filled(Person(), said))


@action("person.write")
def change_person(actor: Actor, pk: int, said: PersonSaid, *, expected_version: int | None = None) -> Person:
    return store(_filled(locked(Person, expected_version, pk=pk), said))


def _filled(person: Person, said: PersonSaid) -> Person:
    refuse_if(hinders_person(said), Refusal)
    person.kind, person.name = said.kind, " ".join(said.name.split())
    person.town, person.does, person.note = said.town.strip(), said.does.strip(), said.note.strip()
    person.orcid = read_orcid(said.orcid) if said.orcid else ""
    person.ror = read_ror(said.ror) if said.ror else ""
    person.may_be_named = said.may_be_named
    return person


@action("person.private")
def keep_contact(actor: Actor, person_pk: int, said: ContactSaid, *, expected_version: int | None = None) -> Contact:
    """How to reach them: seen by the registrar and the keeper only."""
    person = locked(Person, pk=person_pk)
    there = Contact.objects.filter(person=person).first()
    contact = locked(Contact, expected_version, pk=there.pk) if there else Contact(person=person)
    contact.email, contact.phone, contact.address = said.email.strip(), said.phone.strip(), said.address.strip()
    return store(contact)
