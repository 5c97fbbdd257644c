"""What was brought in."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import OpenApiExample, OpenApiResponse, extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.excavations.models import Excavation
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.members import ExactDay
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.people.reads import person_meant
from registry.accessions import actions, reads
from registry.accessions.api.said import Count, Money, words
from registry.accessions.filters import ENTRY_SORTS, EntryFilter
from registry.accessions.models import Entry
from registry.accessions.said import EntrySaid
from registry.accessions.states import HOWS, STATES


class _Named(Strict):
    """`from` is a word of the language, so its field is added by name."""

    def get_fields(self) -> dict[str, Any]:
        fields = super().get_fields()
        return fields | {"from": words(200, help_text="From whom: a name we know, a uid, or words.")}


class EntrySaidIn(_Named):
    """What came through the door; `what` and `how` are enough. As JSON, or as a form with photographs."""

    what = serializers.CharField(max_length=500)
    how = serializers.ChoiceField(HOWS)
    parts = Count(required=False, allow_null=True)
    parts_are = words(60)
    objects = Count(required=False, help_text="How many objects of their own came; each can have a number.")
    place = words(200, help_text="Code or name of the place where it was put.")
    came_on = ExactDay(required=False)
    owner = words(200)
    excavation = words(40)
    former_numbers = serializers.ListField(
        child=serializers.CharField(max_length=10_000), required=False, max_length=50, help_text="Letter for letter."
    )
    photographs = serializers.ListField(child=serializers.FileField(), required=False, max_length=40)
    by = words(200, help_text="Who took it in, if not you.")
    back_by = ExactDay(required=False)
    value = Money(required=False)
    packing = words(300)
    hazards = words(10_000)
    note = words(10_000)
    number = words(40, help_text="Only where an older entry book gave one.")
    made_at = serializers.DateTimeField(required=False, help_text="The device's own hour; never used for the order.")


class EntryObjectOut(serializers.Serializer[Any]):
    number = serializers.CharField()
    description = serializers.CharField()
    state = serializers.ChoiceField(list(STATES.items()))
    parts = serializers.IntegerField(allow_null=True)
    same_as = serializers.CharField(allow_null=True)
    ground = serializers.CharField()


class EntryOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    number = serializers.CharField()
    what = serializers.CharField()
    how = serializers.ChoiceField(HOWS)
    came_on = serializers.DateField()
    parts = serializers.IntegerField(allow_null=True)
    parts_are = serializers.CharField()
    owner = serializers.CharField(allow_null=True)
    taken_in_by = serializers.CharField(allow_null=True)
    excavation = serializers.CharField(allow_null=True)
    back_by = serializers.DateField(allow_null=True)
    packing = serializers.CharField()
    hazards = serializers.CharField()
    note = serializers.CharField()
    waiting = serializers.BooleanField()
    objects = EntryObjectOut(many=True)
    version = serializers.IntegerField()

    def get_fields(self) -> dict[str, Any]:
        return super().get_fields() | {"from": serializers.CharField(allow_null=True)}


class EntryChanged(_Named):
    """What may be said of an entry later."""

    what = serializers.CharField(max_length=500, required=False)
    how = serializers.ChoiceField(HOWS, required=False)
    parts = Count(required=False, allow_null=True)
    parts_are = words(60)
    came_on = ExactDay(required=False)
    owner = words(200)
    excavation = words(40)
    back_by = ExactDay(required=False, allow_null=True)
    packing = words(300)
    hazards = words(10_000)
    note = words(10_000)


_EXAMPLE = OpenApiExample(
    "At the door",
    {"what": "Plaster cast in two boxes", "how": "own excavation", "parts": 3, "place": "B-3"},
    request_only=True,
)


@extend_schema_view(
    list=extend_schema(summary="Entries", responses=EntryOut(many=True)),
    retrieve=extend_schema(summary="One entry, by number or uid", responses=EntryOut),
)
class Entries(Resource):
    """Entries and their objects: read, brought in, put right."""

    acts = {"GET": "record.read", "POST": "entry.make", "PATCH": "entry.make"}
    sorts = ENTRY_SORTS | {"id": "id"}
    sort = "-number"
    filterset_class = EntryFilter
    serializer_class = EntryOut
    queryset = Entry.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.entries_for_list(reader).prefetch_related(reads.OBJECTS)

    def show(self, record: Any) -> dict[str, Any]:
        if not hasattr(record, "things"):  # as it stands now, for the one who saves second
            record = self.one(record.number)
        same = ("number", "what", "how", "parts_are", "packing", "hazards", "note", "version", "waiting")
        shown = {name: getattr(record, name) for name in same} | {
            "uid": str(record.uid),
            "came_on": record.came_on,
            "parts": record.n_parts,
            "from": _name(record.from_person, record.from_words),
            "owner": _name(record.owner, record.owner_words),
            "taken_in_by": _name(record.taken_in_by, ""),
            "excavation": record.excavation.number if record.excavation else None,
            "back_by": record.back_by,
            "objects": [_object(thing) for thing in record.things],
        }
        return shown

    @extend_schema(
        request={"application/json": EntrySaidIn, "multipart/form-data": EntrySaidIn},
        responses={201: EntryOut, 422: OpenApiResponse(description="What is wrong, by field")},
        summary="Bring something in",
        examples=[_EXAMPLE],
    )
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        form = (self.request.content_type or "").startswith("multipart/")
        entry = actions.enter(self.actor, _said(self.actor, self.said(EntrySaidIn), form=form))
        now = self.one(entry.number)
        return made(self.show(now), f"/api/v1/entries/{entry.number}/", etag_of(now))

    @extend_schema(
        request=EntryChanged, responses=EntryOut, summary="Put an entry right (JSON merge patch, with If-Match)"
    )
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        entry, version = self.one(number), self.seen_version()
        changes = _changes(self.actor, self.said(EntryChanged, partial=True))
        actions.change_entry(self.actor, entry.pk, changes, expected_version=version)
        now = self.one(entry.number)
        return Response(self.show(now), headers={"ETag": etag_of(now)})


def _name(person: Any, said: str) -> str | None:
    return person.name if person else said or None


def _object(thing: Any) -> dict[str, Any]:
    return {
        "number": thing.cast.number,
        "description": thing.cast.description,
        "state": thing.state,
        "parts": thing.cast.n_parts,
        "same_as": thing.same_as.number if thing.same_as else None,
        "ground": thing.ground,
    }


def _whom(said: str) -> tuple[Any, str]:
    person = person_meant(said)
    return (person, "") if person else (None, said.strip())


def _dig(actor: Actor, number: str) -> Excavation | None:
    if not number.strip():
        return None
    found = visible_to(actor, Excavation.objects.all()).filter(number__iexact=number.strip()).first()
    if found is None:
        raise Refusal(Reason(f"“{number}” is not an excavation of ours.", "excavation", said=number))
    return found


def _said(actor: Actor, sent: dict[str, Any], *, form: bool) -> EntrySaid:
    giver, giver_words = _whom(sent.pop("from", ""))
    owner, owner_words = _whom(sent.pop("owner", ""))
    by = sent.pop("by", "")
    taker = person_meant(by) if by else None
    if by and taker is None:
        raise Refusal(Reason("We know nobody of this name. Add the person first.", "by", said=by))
    amount, currency = sent.pop("value", (None, ""))
    tags = sent.pop("former_numbers", [])
    # a form sends all tags in one field, one a row; JSON sends each by itself, letter for letter
    rows = [row for tag in tags for row in tag.splitlines()] if form else tags
    return EntrySaid(
        from_person=giver,
        from_words=giver_words,
        owner=owner,
        owner_words=owner_words,
        taken_in_by=taker,
        former_numbers=tuple(rows),
        photographs=tuple(sent.pop("photographs", [])),
        n_objects=sent.pop("objects", 1),
        excavation=_dig(actor, sent.pop("excavation", "")),
        value=amount,
        currency=currency,
        **sent,
    )


def _changes(actor: Actor, sent: dict[str, Any]) -> dict[str, Any]:
    changes = dict(sent)
    for name, person in (("from", "from_person"), ("owner", "owner")):
        if name in sent:
            changes.pop(name)
            changes[person], changes[f"{name}_words"] = _whom(sent[name])
    if "parts" in changes:
        changes["n_parts"] = changes.pop("parts")
    if "excavation" in changes:
        changes["excavation"] = _dig(actor, changes["excavation"])
    return changes
