"""Breakages for the API: recorded in one request, listed with what came of each."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import (
    OpenApiExample,
    OpenApiResponse,
    extend_schema,
    extend_schema_field,
    extend_schema_view,
)
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts.models import MASS_STATES, Piece
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.ids import as_uid
from catalog.ground.members import ExactDay, Figure, UncertainDay
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from registry.condition import actions
from registry.condition.filters import BreakageFilter
from registry.condition.forms.breakages import MOST_MASSES, breakage_said
from registry.condition.models import Breakage
from registry.condition.reads import breakages as broken
from registry.condition.said.incidents import BodySaid, BreakageSaid, IncidentSaid, LooseSaid, PartSaid
from registry.condition.states.incidents import HOWS, WAYS
from registry.places.reads import person_said, subject_said

_WORDS: dict[str, Any] = {"required": False, "allow_blank": True}
_SAID_OF_IT = ("noticed_on", "happened_on", "how", "note", "measures", "told")


@extend_schema_field({"oneOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]})
class OneOrMany(serializers.Field[Any, Any, Any, Any]):
    """A number, or a list of numbers."""

    def to_internal_value(self, data: Any) -> list[str]:
        rows = data if isinstance(data, list) else [data]
        if not rows or not all(isinstance(r, str) and 0 < len(r.strip()) <= 200 for r in rows):
            raise serializers.ValidationError("Write the number of what broke, or a list of numbers.")
        if len(rows) > 200:
            raise serializers.ValidationError("At most 200 things in one incident.")
        return [r.strip() for r in rows]

    def to_representation(self, value: Any) -> Any:
        return value


class PartIn(Strict):
    """One body that came of it. `of`: which thing it came of, where several broke; left out there, it waits in the loose lot."""

    mass_g = Figure("g", "mass", least=None)
    mass_u_g = Figure("g", "uncertainty")
    mass_state = serializers.ChoiceField(MASS_STATES, **_WORDS)
    kind = serializers.ChoiceField(Piece.KINDS, **_WORDS)
    note = serializers.CharField(max_length=5000, **_WORDS)
    of = serializers.CharField(max_length=200, required=False)


class BreakageIn(Strict):
    """What broke, into what. As JSON, or as a form with photographs: the fields of the bench page.

    `how` is of the list; `one_body`: it keeps its number, `parts` then holds at most its new mass.
    """

    of = OneOrMany()
    noticed_on = ExactDay(required=False)
    noticed_by = serializers.CharField(max_length=200, **_WORDS)
    happened_on = UncertainDay()
    how = serializers.ChoiceField(HOWS, **_WORDS)
    parts = PartIn(many=True, required=False)
    one_body = serializers.BooleanField(required=False)
    faces_to = serializers.DictField(
        child=serializers.IntegerField(min_value=1), required=False, help_text="Letter of a face -> which part carries it, counted from 1."
    )  # fmt: skip
    fits = serializers.ListField(
        child=serializers.ListField(child=serializers.IntegerField(min_value=1), min_length=2, max_length=2),
        required=False, max_length=200, help_text="Pairs of parts known to fit, counted from 1.",
    )  # fmt: skip
    joins = serializers.ListField(
        child=serializers.UUIDField(), required=False, max_length=500, help_text="Uids of joins that came apart."
    )
    crumbs_g = Figure("g", "mass", least=None)
    n_crumbs = serializers.IntegerField(required=False, min_value=0, max_value=100_000)
    lost_g = Figure("g", "loss", least=None)
    loose_n = serializers.IntegerField(required=False, min_value=1, max_value=100_000)
    loose_g = Figure("g", "mass", least=None)
    note = serializers.CharField(max_length=5000, **_WORDS)
    measures = serializers.CharField(max_length=5000, **_WORDS)
    told = serializers.CharField(max_length=5000, **_WORDS)
    photographs = serializers.ListField(child=serializers.FileField(), required=False, max_length=40)
    made_at = serializers.DateTimeField(
        required=False, help_text="The device's own hour, where it was kept without signal."
    )
    # as the bench page sends it
    n_parts = serializers.CharField(max_length=10, **_WORDS)
    n_more = serializers.IntegerField(required=False, min_value=2, max_value=200)
    mass_state = serializers.ChoiceField(MASS_STATES, **_WORDS)
    also = serializers.CharField(max_length=2000, **_WORDS)

    def get_fields(self) -> dict[str, Any]:
        masses = {f"mass_{n}": Figure("g", "mass", least=None) for n in range(1, MOST_MASSES + 1)}
        return super().get_fields() | masses


class PartOut(serializers.Serializer[Any]):
    number = serializers.CharField()
    mass_g = serializers.DecimalField(12, 3, allow_null=True)


class BreakageOut(serializers.Serializer[Any]):
    """`number` is that of the incident. `parts`: numbers of what came of it. `unexplained_g`: positive where something is not there."""

    uid = serializers.UUIDField()
    number = serializers.CharField()
    of = serializers.CharField()
    noticed_on = serializers.DateField()
    noticed_by = serializers.CharField(allow_null=True)
    happened_on = serializers.CharField()
    how = serializers.ChoiceField(HOWS, allow_blank=True)
    way = serializers.ChoiceField(WAYS)
    parts = serializers.ListField(child=serializers.CharField())
    masses_g = serializers.ListField(child=serializers.DecimalField(12, 3, allow_null=True))
    mass_before_g = serializers.DecimalField(12, 3, allow_null=True)
    crumbs_g = serializers.DecimalField(12, 3, allow_null=True)
    lost_g = serializers.DecimalField(12, 3, allow_null=True)
    unexplained_g = serializers.DecimalField(12, 3, allow_null=True)
    unexplained_u_g = serializers.DecimalField(12, 3, allow_null=True)
    verdict = serializers.CharField()
    consequences = serializers.ListField(child=serializers.CharField())
    taken_back = serializers.BooleanField()


class RecordedOut(serializers.Serializer[Any]):
    """One incident; where several things broke, each stands in `breakages` too and `unexplained_g` is null."""

    number = serializers.CharField()
    of = serializers.ListField(child=serializers.CharField())
    parts = serializers.ListField(child=serializers.CharField())
    unexplained_g = serializers.DecimalField(12, 3, allow_null=True)
    unexplained_u_g = serializers.DecimalField(12, 3, allow_null=True)
    verdict = serializers.CharField(allow_null=True)
    consequences = serializers.ListField(child=serializers.CharField())
    breakages = BreakageOut(many=True)
    loose_n = serializers.IntegerField()


_EXAMPLE = OpenApiExample(
    "At the bench",
    {
        "of": "2016.1.4",
        "noticed_on": "2026-11-20",
        "how": "fell",
        "parts": [{"mass_g": "120.4"}, {"mass_g": "88.1"}],
        "crumbs_g": "3.2",
        "lost_g": "0",
    },
    request_only=True,
)


@extend_schema_view(
    list=extend_schema(summary="What broke, and what came of it", responses=BreakageOut(many=True)),
    retrieve=extend_schema(summary="One breakage, by uid", responses=BreakageOut),
)
class Breakages(Resource):
    """What broke: recorded, listed."""

    acts = {"GET": "record.read", "POST": "breakage.record"}
    sorts = {"noticed_on": "incident__noticed_on", "id": "id"}
    sort = "-noticed_on"
    number_field = "uid"
    filterset_class = BreakageFilter
    serializer_class = BreakageOut
    queryset = Breakage.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return broken.breakages(reader)

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        return rows.filter(uid=uid).first() if uid else None

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        weights = broken.weights_of(records)
        return [_shown(r, weights) for r in records]

    def show(self, record: Any) -> dict[str, Any]:
        return self.show_many([record])[0]

    @extend_schema(
        request={"application/json": BreakageIn, "multipart/form-data": BreakageIn},
        responses={
            201: RecordedOut,
            409: OpenApiResponse(OpenApiTypes.OBJECT, description="It is broken already, or gone"),
            422: OpenApiResponse(OpenApiTypes.OBJECT, description="What is wrong, by field"),
        },
        summary="Record a breakage",
        examples=[_EXAMPLE],
    )
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = _said(self.actor, self.said(BreakageIn))
        done = actions.record_breakage(self.actor, said)
        incident = done.incident
        rows = list(broken.breakages(self.actor).filter(incident=incident))
        shown = self.show_many(rows)
        one = shown[0] if len(shown) == 1 else {}
        answer = {
            "number": incident.number,
            "of": [b["of"] for b in shown],
            "parts": [n for b in shown for n in b["parts"]],
            "unexplained_g": one.get("unexplained_g"),
            "unexplained_u_g": one.get("unexplained_u_g"),
            "verdict": one.get("verdict"),
            "consequences": done.consequences,
            "breakages": shown,
            "loose_n": said.loose.n if said.loose else 0,
        }
        return made(answer, f"/api/v1/incidents/{incident.number}/", etag_of(incident))


def _shown(b: Any, weights: Any) -> dict[str, Any]:
    incident, parts = b.incident, [p for p in b.parts.all() if p.piece]
    balance = broken.balance_of(b, weights)
    return {
        "uid": str(b.uid),
        "number": incident.number,
        "of": b.number,
        "noticed_on": incident.noticed_on,
        "noticed_by": incident.noticed_by.name if incident.noticed_by else None,
        "happened_on": incident.happened_on,
        "how": incident.how,
        "way": b.way,
        "parts": [p.piece.number for p in parts],
        "masses_g": [weights.get(p.pk) for p in parts],
        "mass_before_g": b.mass_before_g,
        "crumbs_g": b.crumbs_g,
        "lost_g": b.lost_g,
        "unexplained_g": balance.difference_g,
        "unexplained_u_g": balance.u_g,
        "verdict": balance.verdict,
        "consequences": b.consequences.splitlines(),
        "taken_back": incident.taken_back_on is not None,
    }


def _said(actor: Actor, sent: dict[str, Any]) -> BreakageSaid:
    incident = _incident_said(actor, sent)
    subjects = [subject_said(actor, text, "of") for text in sent["of"]]
    if _is_form(sent):
        sent = sent | {"of": subjects[0], "also": subjects[1:] + _also(actor, sent.get("also", ""))}
        return breakage_said(incident, sent)
    joins = tuple(broken.joins_named(actor, sent.get("joins") or []))
    bodies, strays = _bodies(subjects, sent)
    return BreakageSaid(incident, tuple(bodies) if sent.get("parts") is not None or not joins else (), joins, _loose(sent, strays))  # fmt: skip


def _is_form(sent: dict[str, Any]) -> bool:
    return any(name in sent for name in ("n_parts", "n_more", "also", "mass_1")) or (
        "parts" not in sent and "one_body" not in sent and "joins" not in sent
    )


def _also(actor: Actor, text: str) -> list[Any]:
    return [subject_said(actor, row.strip(), "also") for row in text.splitlines() if row.strip()]


def _incident_said(actor: Actor, sent: dict[str, Any]) -> IncidentSaid:
    by = person_said(actor, sent["noticed_by"], "noticed_by") if sent.get("noticed_by") else None
    told = {n: sent[n] for n in _SAID_OF_IT if sent.get(n)}
    if "noticed_on" not in told and sent.get("made_at"):
        told["noticed_on"] = broken.day_kept(sent["made_at"])
    return IncidentSaid(**told, noticed_by=by, photographs=tuple(sent.get("photographs") or ()))


def _bodies(subjects: list[Any], sent: dict[str, Any]) -> tuple[list[BodySaid], list[PartSaid]]:
    """Each thing with its own parts; where several broke, a part that names none of them is nobody's yet."""
    numbers = [str(s) for s in subjects]
    mine: dict[str, list[PartSaid]] = {}
    strays: list[PartSaid] = []
    for i, part in enumerate(sent.get("parts") or []):
        of = part.get("of") or (numbers[0] if len(numbers) == 1 else "")
        said = PartSaid(**{k: v for k, v in part.items() if k != "of" and v not in (None, "")})
        if of and of not in numbers:
            raise Refusal(Reason(f"{of} is not among what broke here: {', '.join(numbers)}.", f"parts/{i}/of", said=of))
        if of:
            mine.setdefault(of, []).append(said)
        else:
            strays.append(said)
    more: dict[str, Any] = {"faces_to": sent.get("faces_to") or {}, "fits": tuple(map(tuple, sent.get("fits") or []))}
    more |= {n: sent.get(n) for n in ("crumbs_g", "n_crumbs", "lost_g")}
    one = sent.get("one_body", False)
    bodies = [
        BodySaid(s, tuple(mine.get(n, ())), one_body=one or len(mine.get(n, ())) == 1, **(more if i == 0 else {}))
        for i, (s, n) in enumerate(zip(subjects, numbers, strict=True))
    ]
    return bodies, strays


def _loose(sent: dict[str, Any], strays: list[PartSaid]) -> LooseSaid | None:
    n = (sent.get("loose_n") or 0) + len(strays)
    masses = [p.mass_g for p in strays] + ([sent.get("loose_g")] if sent.get("loose_n") else [])
    known = [m for m in masses if m is not None]
    return LooseSaid(n, sum(known) if known and len(known) == len(masses) else None) if n else None
