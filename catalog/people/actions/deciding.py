"""The first start, and what a registrar decides about the collection afterwards."""

from __future__ import annotations

from dataclasses import asdict

from catalog.ground.acting import action, locked, store, tell
from catalog.ground.collection import today
from catalog.ground.models import Collection
from catalog.ground.numbers import never_below
from catalog.ground.refusal import Hindered, Refusal, refuse_if
from catalog.ground.roles import KEEPER, REGISTRAR, Actor
from catalog.people import reads, rules
from catalog.people.actions.accounts import new_account
from catalog.people.models import Account, Person, Role
from catalog.people.said import CollectionSaid, OpeningSaid


@action(None)
def open_collection(actor: Actor, said: OpeningSaid) -> Account:
    """The first start: the collection, our own body, the first person with their roles, and the last number on paper.

    Only while there is no account; a second one at the same time finds the collection there and is refused.
    """
    if reads.anybody() or Collection.objects.exists():
        raise Hindered("The register is open already. Sign in.")
    refuse_if(rules.hinders_opening(said), Refusal)
    store(_collection(said))
    store(Person(kind="body", name=said.name.strip(), is_us=True))
    person = store(Person(name=" ".join(said.person.split())))
    account = new_account(person, person.name, said.email.strip().lower(), said.password, hashed=said.hashed)
    for role in [REGISTRAR, KEEPER] if said.alone else [REGISTRAR]:
        store(Role(account=account, role=role, since=today()))
    never_below(f"accession {today().year}", said.last_on_paper)
    tell(said.name, opened=True)
    return account


def _collection(said: OpeningSaid) -> Collection:
    return Collection(
        pk=1,
        name=said.name.strip(),
        code=said.code,
        accession_pattern=said.pattern,
        zone=said.zone,
        currency=said.currency,
        alone=said.alone,
        witness=said.witness.strip() if said.alone else "",
        checkpoint_mail=said.checkpoint_mail.strip(),
    )


@action("setting.change")
def change_collection(actor: Actor, said: CollectionSaid, *, expected_version: int | None = None) -> Collection:
    """The collection's decisions, written anew. Numbers that were given stay as they are."""
    ours = locked(Collection, expected_version, pk=1)
    refuse_if(rules.hinders_settings(said, heads=reads.n_heads()), Refusal)
    for name, value in asdict(said).items():
        setattr(ours, name, value.strip() if isinstance(value, str) else value)
    body = Person.objects.filter(is_us=True).first()
    if body and body.name != ours.name:
        body = locked(Person, pk=body.pk)
        body.name = ours.name
        store(body)
    return store(ours)
