"""Which rows about people a reader may know of: people are for all staff, how to reach them for the registrar and the keeper."""

from __future__ import annotations

from django.db.models import QuerySet

from catalog.ground.roles import Actor, may
from catalog.ground.sight import rows_of
from catalog.people.models import Contact, Invitation, Token, Visit


@rows_of(Contact)
def contacts(reader: Actor, rows: QuerySet[Contact]) -> QuerySet[Contact]:
    if may(reader, "person.private"):
        return rows
    return rows.filter(person_id=reader.person_id) if reader.person_id else rows.none()


@rows_of(Invitation)
def invitations(reader: Actor, rows: QuerySet[Invitation]) -> QuerySet[Invitation]:
    return rows if may(reader, "person.invite") else rows.none()


@rows_of(Token)
def tokens(reader: Actor, rows: QuerySet[Token]) -> QuerySet[Token]:
    """One's own; the registrar and the keeper see all, so that they can revoke them."""
    if may(reader, "link.revoke"):
        return rows
    return rows.filter(account_id=reader.account_id or 0) if may(reader, "token.make") else rows.none()


@rows_of(Visit)
def visits(reader: Actor, rows: QuerySet[Visit]) -> QuerySet[Visit]:
    return rows.filter(account_id=reader.account_id or 0) if reader.signed_in else rows.none()
