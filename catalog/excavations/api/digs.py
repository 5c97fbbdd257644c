"""Digs by the API."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.excavations import actions, reads
from catalog.excavations.api.said import named, paper_of, site_of, whole, words
from catalog.excavations.datum import DATUMS
from catalog.excavations.filters import DigFilter
from catalog.excavations.models import ExactPlace, Excavation
from catalog.excavations.placing import HOW_FIXED, PlaceSaid
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.members import Days, Figure, UncertainDay, days
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor, may
from catalog.people.reads import person_meant
from catalog.taxa.reads import taxon_named

_SAME = (
    *("field_number", "animal_words", "permit_exception", "entrance", "soil", "weather", "depth_cm", "depths_from"),
    *("bearing_deg", "bearing_is", "extent", "left_in_ground", "left_mass_g", "note", "version", "changed_at"),
)


class PlaceIn(Strict):
    """Where it lies, letter for letter. Who may not read exact places writes the first one only."""

    said = serializers.CharField(max_length=200)
    datum = serializers.ChoiceField(DATUMS, default="WGS84")
    fixed_by = serializers.ChoiceField(HOW_FIXED, required=False, allow_blank=True)
    fixed_words = words(80)
    within_m = Figure("m", "distance")
    elevation_m = Figure("m", "height", least=None)
    words = words(10_000)


class ThereIn(Strict):
    person = serializers.CharField(max_length=200, help_text="A name we know, a uid, or a new name with `new`.")
    did = words(80)
    new = serializers.BooleanField(default=False, help_text="Write the name as a new person.")


class DigIn(Strict):
    """One nest dug; everything may be left out."""

    field_number = words(80)
    site = named(help_text="Name or uid.")
    dug_on = UncertainDay()
    permit = named(help_text="Number or uid.")
    consent = named(help_text="Number or uid.")
    permit_exception = words(10_000)
    taxon = named(help_text="A name on our list, or its uid.")
    animal_words = words(200)
    entrance = words(10_000)
    soil = words(10_000)
    weather = words(300)
    depth_cm = Figure("cm", "depth")
    depths_from = words(200)
    bearing_deg = Figure("°", "bearing")
    bearing_is = serializers.ChoiceField(Excavation.BEARINGS, required=False, allow_blank=True)
    extent = serializers.ChoiceField(Excavation.EXTENTS, required=False, allow_blank=True)
    left_in_ground = words(10_000)
    left_mass_g = Figure("g", "mass")
    note = words(10_000)
    people = ThereIn(many=True, required=False)
    place = PlaceIn(required=False)


class ShownPlace(serializers.Serializer[Any]):
    """The place as all who work here read it: on WGS84, the centre of its cell, or no point where only the region is given."""

    latitude = serializers.DecimalField(9, 5, allow_null=True)
    longitude = serializers.DecimalField(9, 5, allow_null=True)
    within_m = serializers.IntegerField(allow_null=True)
    dataGeneralizations = serializers.CharField(allow_null=True)


class ExactOut(serializers.Serializer[Any]):
    said = serializers.CharField()
    form = serializers.CharField()
    datum = serializers.CharField(help_text="That it was written on; latitude and longitude are on WGS84.")
    latitude = serializers.DecimalField(10, 7)
    longitude = serializers.DecimalField(10, 7)
    within_m = serializers.IntegerField()
    stated_m = serializers.DecimalField(11, 1, allow_null=True)
    how_fixed = serializers.CharField()
    elevation_m = serializers.DecimalField(7, 1, allow_null=True)
    words = serializers.CharField()


class ThereOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    name = serializers.CharField()
    did = serializers.CharField()


class DigOut(serializers.Serializer[Any]):
    """`exact` is there only for who may know exact places; each such reading is logged."""

    uid = serializers.UUIDField()
    number = serializers.CharField()
    field_number = serializers.CharField()
    site = serializers.CharField(allow_null=True)
    region = serializers.CharField(allow_null=True)
    country = serializers.CharField(allow_null=True)
    dug_on = Days()
    permit = serializers.CharField(allow_null=True)
    consent = serializers.CharField(allow_null=True)
    permit_exception = serializers.CharField()
    permit_notes = serializers.ListField(child=serializers.CharField())
    taxon = serializers.CharField(allow_null=True)
    animal_words = serializers.CharField()
    entrance = serializers.CharField()
    soil = serializers.CharField()
    weather = serializers.CharField()
    depth_cm = serializers.DecimalField(8, 2, allow_null=True)
    depths_from = serializers.CharField()
    bearing_deg = serializers.DecimalField(4, 1, allow_null=True)
    bearing_is = serializers.CharField()
    extent = serializers.CharField()
    left_in_ground = serializers.CharField()
    left_mass_g = serializers.DecimalField(12, 3, allow_null=True)
    note = serializers.CharField()
    people = ThereOut(many=True)
    place = ShownPlace()
    exact = ExactOut(required=False, allow_null=True)
    n_pours = serializers.IntegerField()
    n_lifts = serializers.IntegerField()
    n_bags = serializers.IntegerField()
    version = serializers.IntegerField()
    changed_at = serializers.DateTimeField()
    doubts = serializers.ListField(
        child=serializers.CharField(), required=False, help_text="After a write: kept, but worth a look."
    )


@extend_schema_view(
    list=extend_schema(summary="Excavations", responses=DigOut(many=True)),
    retrieve=extend_schema(summary="One excavation, by number or uid", responses=DigOut),
)
class Excavations(Resource):
    """Digs: read by the staff; the place is generalised for all but who may know it."""

    acts = {"GET": "record.read", "POST": "excavation.write", "PATCH": "excavation.write"}
    sorts = {"number": "number", "dug_on": "dug_earliest", "changed_at": "changed_at", "id": "id"}
    sort = "id"
    filterset_class = DigFilter
    serializer_class = DigOut
    queryset = Excavation.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.excavations(reader)

    def show(self, record: Any) -> dict[str, Any]:
        return self.show_many([whole(self, record, "n_pours")])[0]

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        exact = reads.exact_places(self.actor, records, self.request.path)
        may_exact = may(self.actor, "site.exact")
        return [show_dig(r) | ({"exact": _exact(exact.get(r.pk))} if may_exact else {}) for r in records]

    @extend_schema(request=DigIn, responses={201: DigOut}, summary="Write an excavation; `place` may come with it")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said, people, place = self._said(partial=False)
        with _place_named():
            dig, doubts = actions.write_dig(self.actor, None, said, people=people, place=place)
        shown = self.show(self.one(dig.number)) | {"doubts": doubts}
        return made(shown, f"/api/v1/excavations/{dig.number}/", etag_of(dig))

    @extend_schema(request=DigIn(partial=True), responses=DigOut, summary="Change an excavation (merge, with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        dig, version = self.one(number), self.seen_version()
        said, people, place = self._said(partial=True)
        with _place_named():
            _, doubts = actions.write_dig(
                self.actor, dig.pk, said, people=people, place=place, expected_version=version
            )
        now = self.one(dig.number)
        return Response(self.show(now) | {"doubts": doubts}, headers={"ETag": etag_of(now)})

    def _said(self, *, partial: bool) -> tuple[dict[str, Any], list[Any] | None, PlaceSaid | None]:
        said = self.said(DigIn, partial=partial)
        people, place = said.pop("people", None), said.pop("place", None)
        site_of(self.actor, said)
        for name in ("permit", "consent"):
            paper_of(self.actor, said, name)
        if "taxon" in said:
            said["taxon"] = _taxon(said["taxon"])
        there = None if people is None else [_there(n, p) for n, p in enumerate(people)]
        return said, there, _place(place) if place else None


@contextmanager
def _place_named() -> Iterator[None]:
    """A refusal about the place points at the member it was sent in."""
    try:
        yield
    except Refusal as refusal:
        refusal.reasons = [replace(r, field="place/said") if r.field == "where" else r for r in refusal.reasons]
        raise


def _taxon(words: str | None) -> Any:
    found = taxon_named(words) if words else None
    if words and found is None:
        raise Refusal(Reason("This name is not on our list. Send it as `animal_words`.", "taxon", said=words))
    return found


def _there(n: int, said: dict[str, Any]) -> tuple[Any, str]:
    """Who was there: a person we know, or a new name that says so."""
    name = said.get("person", "")
    found = person_meant(name) if name else None
    if found is None and not (name and said.get("new")):
        raise Refusal(Reason("This is nobody we know. Send `new` to write them.", f"people/{n}/person", said=name))
    return found or name, said.get("did", "")


def _place(said: dict[str, Any]) -> PlaceSaid:
    if "said" not in said:
        raise Refusal(Reason("Write the place as it stands in the field book.", "place/said"))
    return PlaceSaid(text=said.pop("said"), **said)


def show_dig(dig: Any) -> dict[str, Any]:
    """A dig as all who work here read it."""
    return {
        "uid": str(dig.uid),
        "number": dig.number,
        "site": dig.site.name if dig.site else None,
        "region": dig.site.region if dig.site else None,
        "country": dig.site.country if dig.site else None,
        "dug_on": days(dig.dug_on),
        "permit": dig.permit.number if dig.permit else None,
        "consent": dig.consent.number if dig.consent else None,
        "permit_notes": [note.sentence for note in reads.notes_on(dig)],
        "taxon": dig.taxon.name if dig.taxon else None,
        **{name: getattr(dig, name) for name in _SAME},
        "people": [{"uid": str(p.person.uid), "name": p.person.name, "did": p.did} for p in dig.people.all()],
        "place": {
            "latitude": dig.shown_lat,
            "longitude": dig.shown_lon,
            "within_m": dig.shown_within_m,
            "dataGeneralizations": dig.shown_how or None,
        },
        **{name: getattr(dig, name) for name in ("n_pours", "n_lifts", "n_bags")},
    }


def _exact(place: ExactPlace | None) -> dict[str, Any] | None:
    if place is None:
        return None
    same = {
        name: getattr(place, name)
        for name in ("said", "form", "datum", "within_m", "stated_m", "how_fixed", "elevation_m")
    }
    return same | {"latitude": place.lat, "longitude": place.lon, "words": place.words}
