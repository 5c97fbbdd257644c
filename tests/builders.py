"""The station's people and small makers. Where a state is one that an action makes, they call the action."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from datetime import date
from typing import Any

from catalog.casts.models import Cast, Piece
from catalog.excavations.models import Excavation, Site
from catalog.ground.acting import store
from catalog.ground.models import Collection
from catalog.ground.roles import Actor
from catalog.ground.running import Running, now_running
from catalog.people.doorkeeper import actor_for
from catalog.people.models import Account, Person, Role
from catalog.taxa.models import Taxon

PASSWORD = "dune-grass-and-plaster"
PEOPLE = {
    "Imke Roodenburg": ("registrar",),
    "Tobias Wren": ("keeper",),
    "Saar Osei": ("technician",),
    "Lenno Haak": ("reader",),
    "Ottilie Brandt": ("preparator",),
}


@contextlib.contextmanager
def by_hand(actor: Actor | None = None) -> Iterator[None]:
    """Lets a test store a record that no action makes yet."""
    token = now_running.set(Running(actor or Actor(name="test"), "test"))
    try:
        yield
    finally:
        now_running.reset(token)


def collection(**more: Any) -> Collection:
    """The station, its standing decision on own digs in force."""
    there = Collection.objects.filter(pk=1).first()
    if there:
        return there
    facts: dict[str, Any] = {
        "name": "Tarn Holm dune and marsh station",
        "code": "TH",
        "zone": "Europe/Amsterdam",
        "currency": "EUR",
        "own_digs_kept": True,
        "own_digs_minute": "Minute 3 of 2010",
        "own_digs_decided_on": date(2010, 2, 1),
        "own_digs_decided_by": "Tobias Wren",
        "reach_us": "Imke Roodenburg, Tarn Holm station",
    }
    with by_hand():
        return store(Collection(pk=1, **(facts | more)))


def person(name: str, **more: Any) -> Person:
    there = Person.objects.filter(name=name).first()
    if there:
        return there
    with by_hand():
        return store(Person(name=name, **more))


def account(name: str, *roles: str) -> Account:
    """An account that signs in with PASSWORD and holds these roles."""
    there = Account.objects.filter(name=name).first()
    if there:
        return there
    made = Account(name=name, person=person(name))
    made.set_password(PASSWORD)
    made.save()
    with by_hand():
        for role in roles:
            store(Role(account=made, role=role, since=date(2010, 1, 1)))
    return made


def actor(name: str = "Imke Roodenburg") -> Actor:
    """One of the station's people, with their role."""
    collection()
    return actor_for(account(name, *PEOPLE.get(name, ("registrar",))))


def imke() -> Actor:
    return actor("Imke Roodenburg")


def tobias() -> Actor:
    return actor("Tobias Wren")


def saar() -> Actor:
    return actor("Saar Osei")


def lenno() -> Actor:
    return actor("Lenno Haak")


def ottilie() -> Actor:
    return actor("Ottilie Brandt")


def taxon(name: str = "Upogebia deltaura", common_name: str = "mud shrimp", **more: Any) -> Taxon:
    there = Taxon.objects.filter(name=name).first()
    if there:
        return there
    with by_hand():
        return store(Taxon(name=name, common_name=common_name, **more))


def site(name: str = "North Creek", **more: Any) -> Site:
    there = Site.objects.filter(name=name).first()
    if there:
        return there
    with by_hand():
        return store(Site(name=name, region="the salt marsh", country="NL", **more))


def excavation(number: str = "D-2026-1", **more: Any) -> Excavation:
    there = Excavation.objects.filter(number=number).first()
    if there:
        return there
    with by_hand():
        return store(Excavation(number=number, site=more.pop("site", None) or site(), **more))


def cast(number: str = "2016.1", **more: Any) -> Cast:
    """A cast as a row, without its way in: for tests of what does not depend on it."""
    from catalog.casts.numbers import sort_text

    facts: dict[str, Any] = {
        "description": "Plaster cast of a branching burrow",
        "material": "plaster",
        "kind": "cast of burrow",
        "n_parts": 7,
    }
    with by_hand():
        return store(Cast(number=number, sort=sort_text(number), **(facts | more)))


def piece(of: Cast, suffix: str = "1", **more: Any) -> Piece:
    from catalog.casts.numbers import sort_text

    with by_hand():
        return store(Piece(cast=of, suffix=suffix, sort=sort_text(suffix), **more))


def signed_in(client: Any, name: str = "Imke Roodenburg") -> Any:
    """The test client, signed in as one of the station's people, lately enough for grave acts."""
    actor(name)
    client.force_login(Account.objects.get(name=name))
    import time

    session = client.session
    session["account_authentication_methods"] = [{"method": "password", "at": time.time(), "username": name}]
    session["account_authentication_methods_user"] = str(Account.objects.get(name=name).pk)
    session.save()
    return client
