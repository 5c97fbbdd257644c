"""What people answer when the house asks: open invitations, a witness to be named, what happened to a person."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

from catalog.ground import say
from catalog.ground.asks import Duty, Event, due_jobs, history_of, todays_work
from catalog.ground.collection import collection, local
from catalog.ground.roles import HOUSE, Actor, may
from catalog.people import reads, visiting  # noqa: F401  visiting listens to sign-ins
from catalog.people.actions.tidying import forget_old
from catalog.people.models import Person


@todays_work.answer
def invitations_wait(reader: Actor) -> list[Duty]:
    if not may(reader, "person.invite"):
        return []
    return [
        Duty(
            f"{i.name} is invited as {i.role} and has not come in yet. The link works until {say.day(local(i.expires_at).date())}.",
            "/people/invite/",
            since=local(i.created_at).date(),
            weight="soon",
            act="person.invite",
        )
        for i in reads.open_invitations(reader)
    ]


@todays_work.answer
def who_decides_beside_you(reader: Actor) -> list[Duty]:
    ours = collection()
    if not ours.alone or not may(reader, "setting.change"):
        return []
    to, act = "/settings/change/", "setting.change"
    if reads.n_heads() > 1:
        sentence = (
            "There are two people who decide now. Say so in the settings, so that no decision stands as single-handed."
        )
        return [Duty(sentence, to, act=act)]
    if not ours.witness:
        sentence = "Nobody outside witnesses your decisions yet. They stand as single-handed; name a witness when you have one."
        return [Duty(sentence, to, weight="soon", act=act)]
    return []


@due_jobs.answer
def tidy_sign_ins(day: date) -> Iterable[tuple[str, Callable[[], None]]]:
    return [("forget old sign-ins", lambda: forget_old(HOUSE))]


_FIELDS = {
    "name": "name",
    "kind": "kind",
    "town": "town",
    "does": "what they do",
    "orcid": "ORCID",
    "ror": "ROR",
    "note": "note",
    "may_be_named": "may be named in public",
}


@history_of.answer
def history_of_person(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Person) or not may(reader, "history.read"):
        return []
    rows = list(record.history.select_related("history_user__person").order_by("-history_date", "-history_id"))
    return [_written(row, before) for row, before in zip(rows, [*rows[1:], None], strict=True)] + _roles(record)


def _written(row: Any, before: Any) -> Event:
    changes = tuple(
        (words, _said(getattr(before, name)), _said(getattr(row, name)))
        for name, words in _FIELDS.items()
        if before is not None and getattr(before, name) != getattr(row, name)
    )
    sentence = f"Changed: {say.listed([c[0] for c in changes])}." if changes else "Put on record."
    return Event(row.history_date, sentence, "exam", who=_who(row), changes=changes)


def _roles(person: Person) -> list[Event]:
    account = reads.account_of(person)
    if account is None:
        return []
    events = []
    for role in account.roles_held.select_related("given_by__person", "changed_by__person").order_by("id"):
        given = role.given_by.person.name if role.given_by else ""
        events.append(Event(role.created_at, f"Became {role.role}.", "reg", who=given))
        if role.until:
            by = role.changed_by.person.name if role.changed_by else ""
            events.append(Event(role.changed_at, f"Is {role.role} no more.", "reg", who=by))
    return events


def _said(value: Any) -> str:
    return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value or "")


def _who(row: Any) -> str:
    return row.history_user.person.name if row.history_user else ""
