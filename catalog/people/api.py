"""People by the API: read only. How to reach them is for the registrar and the keeper."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers

from catalog.ground.api import Resource
from catalog.ground.roles import Actor, may
from catalog.people import reads
from catalog.people.filters import People as PeopleFilters
from catalog.people.models import Contact, Person


class TokenScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    """Tells the OpenAPI document how one shows who one is."""

    target_class = "catalog.people.doorkeeper.TokenOrSession"
    name = "token"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        return {"type": "http", "scheme": "bearer"}


class ContactShown(serializers.Serializer[Any]):
    email = serializers.CharField()
    phone = serializers.CharField()
    address = serializers.CharField()


class PersonShown(serializers.Serializer[Any]):
    """`contact` is left out for readers who may not know it."""

    id = serializers.IntegerField()
    uid = serializers.UUIDField()
    kind = serializers.ChoiceField(choices=["person", "body"])
    name = serializers.CharField()
    town = serializers.CharField()
    does = serializers.CharField()
    orcid = serializers.CharField()
    ror = serializers.CharField()
    may_be_named = serializers.BooleanField()
    roles = serializers.ListField(child=serializers.CharField())
    version = serializers.IntegerField()
    contact = ContactShown(required=False)


@extend_schema_view(
    list=extend_schema(summary="People and bodies", description="Whom we deal with.", responses=PersonShown(many=True)),
    retrieve=extend_schema(summary="One person or body", description="By id or by uid.", responses=PersonShown),
)
class People(Resource):
    acts = {"GET": "record.read"}
    sorts = {"name": "name", "id": "id"}
    sort = "name"
    number_field = "id"
    filterset_class = PeopleFilters
    queryset = Person.objects.none()
    serializer_class = PersonShown

    def rows(self, reader: Actor) -> QuerySet[Person]:
        rows = reads.people(reader)
        return rows.select_related("account", "contact") if may(reader, "person.private") else rows

    def show(self, record: Person) -> dict[str, Any]:
        plain = {
            n: getattr(record, n)
            for n in ("id", "kind", "name", "town", "does", "orcid", "ror", "may_be_named", "version")
        }
        shown = plain | {"uid": str(record.uid), "roles": reads.roles_of(record)}
        if may(self.actor, "person.private"):
            shown["contact"] = _contact(getattr(record, "contact", None))
        return shown


def _contact(contact: Contact | None) -> dict[str, str]:
    return {n: getattr(contact, n, "") for n in ("email", "phone", "address")}
