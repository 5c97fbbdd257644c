"""Members that this room's serializers share, and how names become records."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from rest_framework import serializers

from catalog.excavations import reads
from catalog.excavations.models import MaterialLot, Permit, Site
from catalog.ground.api import Resource
from catalog.ground.ids import as_uid
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.people.models import Person
from catalog.people.reads import person_meant


def words(most: int, **more: Any) -> serializers.CharField:
    """Text that may be left out."""
    return serializers.CharField(max_length=most, required=False, allow_blank=True, **more)


def named(**more: Any) -> serializers.CharField:
    """The name, number or uid of another record; null or empty for none."""
    return serializers.CharField(max_length=200, required=False, allow_null=True, allow_blank=True, **more)


def shown(person: Person | None) -> str | None:
    return person.name if person else None


# from what was sent to records


def person_of(said: dict[str, Any], name: str) -> None:
    """The name, uid or key of a person becomes the person."""
    if name in said:
        words = said[name] or ""
        found = person_meant(words) if words else None
        if words and found is None:
            raise Refusal(Reason("This is nobody we know. Add the person first.", name, said=words))
        said[name] = found


def site_of(actor: Actor, said: dict[str, Any]) -> None:
    """By name or uid."""
    _found(said, "site", reads.visible(actor, Site), "name", "This is not a site of ours. Write the site first.")


def paper_of(actor: Actor, said: dict[str, Any], name: str) -> None:
    """A permit or consent by its number or uid."""
    _found(said, name, reads.visible(actor, Permit), "number", "This is not a paper of ours. Write it first.")


def lot_of(actor: Actor, said: dict[str, Any]) -> None:
    """By code or uid."""
    _found(said, "lot", reads.visible(actor, MaterialLot), "code", "This is not a lot of ours.")


def _found(said: dict[str, Any], name: str, rows: QuerySet[Any], column: str, sentence: str) -> None:
    if name not in said:
        return
    words = (said[name] or "").strip()
    uid: UUID | None = as_uid(words)
    found = (rows.filter(uid=uid) if uid else rows.filter(**{f"{column}__iexact": words})).first() if words else None
    if words and found is None:
        raise Refusal(Reason(sentence, name, said=words))
    said[name] = found


def whole(resource: Resource, record: Any, mark: str) -> Any:
    """The record with what its rows carry beside it (`mark` is one of them); read anew where it came bare."""
    return record if hasattr(record, mark) else resource.rows(resource.actor).get(pk=record.pk)


class ByUid(Resource):
    """A noun that goes by its uid only."""

    number_field = "uid"

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        return rows.filter(uid=uid).first() if uid else None
