"""Examinations with their findings, as the API reads and takes them."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.collection import local
from catalog.ground.ids import as_uid
from catalog.ground.members import ExactDay, Figure
from catalog.ground.refusal import Hindered, NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.media.models import Photograph
from catalog.media.reads import as_document, photograph_at
from catalog.media.shapes import KINDS
from registry.condition import actions
from registry.condition.filters import ExaminationFilter
from registry.condition.forms import ExaminationForm
from registry.condition.models import Examination, Finding
from registry.condition.reads import examinations as reads
from registry.condition.said import CarriedSaid, ExaminationSaid, MarkSaid, NewSaid
from registry.condition.states.damage import ORIGINS, TERMS
from registry.condition.states.examinations import GRADES, REASONS, VERDICTS
from registry.places.reads import me, person_said, subject_said


class MarkIn(Strict):
    """Pixels of the upright original: `410,220`, or several for a line or an area."""

    photograph = serializers.UUIDField()
    shape = serializers.ChoiceField(KINDS)
    position = serializers.CharField(max_length=4000)
    radius_px = serializers.IntegerField(required=False, allow_null=True)


class CarriedIn(Strict):
    """What became of a finding of the last examination, by its uid."""

    finding = serializers.UUIDField()
    verdict = serializers.ChoiceField([v for v in VERDICTS if v[0] != "new"])
    size_mm = Figure("mm", "size")
    grade = serializers.ChoiceField(GRADES, required=False, allow_blank=True)
    note = serializers.CharField(max_length=500, required=False, allow_blank=True)
    mark = MarkIn(required=False, allow_null=True)


class NewIn(Strict):
    """A finding seen for the first time."""

    kind = serializers.ChoiceField(TERMS)
    where = serializers.CharField(max_length=200, required=False, allow_blank=True)
    size_mm = Figure("mm", "size")
    grade = serializers.ChoiceField(GRADES, required=False, allow_blank=True)
    origin = serializers.ChoiceField(ORIGINS, required=False, allow_blank=True)
    active = serializers.BooleanField(required=False, allow_null=True)
    note = serializers.CharField(max_length=500, required=False, allow_blank=True)
    mark = MarkIn(required=False, allow_null=True)


class ExaminationIn(Strict):
    """One look at a cast or a piece. `sign`: true unless said otherwise; `carried` answers every standing finding of the last time."""

    of = serializers.CharField(max_length=60)
    reason = serializers.ChoiceField(REASONS)
    on = ExactDay(required=False)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True, help_text="Who looked, if not you.")
    plain = serializers.BooleanField(required=False)
    method = serializers.CharField(max_length=300, required=False, allow_blank=True)
    not_seen = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    grade = serializers.ChoiceField(GRADES, required=False, allow_blank=True)
    risk = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    recommendation = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    next_due = ExactDay(required=False, allow_null=True)
    note = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    picture = serializers.UUIDField(required=False, allow_null=True)
    replaces = serializers.UUIDField(required=False, allow_null=True, help_text="The signed one that this puts right.")
    carried = CarriedIn(many=True, required=False)
    new = NewIn(many=True, required=False)
    sign = serializers.BooleanField(required=False)


class Signed(Strict):
    signed = serializers.ChoiceField([True])


class FindingOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    n = serializers.IntegerField(help_text="its number on the picture, the same in every later examination")
    verdict = serializers.ChoiceField(VERDICTS)
    first_seen_on = serializers.DateField()
    kind = serializers.CharField()
    where = serializers.CharField()
    size_mm = serializers.DecimalField(8, 2, allow_null=True)
    grade = serializers.CharField()
    origin = serializers.CharField()
    active = serializers.BooleanField(allow_null=True)
    note = serializers.CharField()
    carried_from = serializers.UUIDField(allow_null=True)
    mark = serializers.DictField(allow_null=True, help_text="a W3C Web Annotation")


class ExaminationOut(serializers.Serializer[Any]):
    """`state`: draft, signed or superseded."""

    uid = serializers.UUIDField()
    of = serializers.CharField()
    state = serializers.ChoiceField(choices=["draft", "signed", "superseded"])
    reason = serializers.ChoiceField(REASONS)
    on = serializers.DateField()
    by = serializers.CharField()
    place = serializers.CharField(allow_null=True)
    plain = serializers.BooleanField()
    method = serializers.CharField()
    not_seen = serializers.CharField()
    grade = serializers.CharField()
    risk = serializers.CharField()
    recommendation = serializers.CharField()
    next_due = serializers.DateField(allow_null=True)
    note = serializers.CharField()
    previous = serializers.UUIDField(allow_null=True)
    replaces = serializers.UUIDField(allow_null=True)
    signed_at = serializers.DateTimeField(allow_null=True)
    signed_by = serializers.CharField(allow_null=True)
    findings = FindingOut(many=True)
    report = serializers.CharField()
    version = serializers.IntegerField()


_SAME = ("reason", "on", "plain", "method", "not_seen", "grade", "risk", "recommendation", "next_due", "note")


@extend_schema_view(
    list=extend_schema(summary="Examinations of casts and pieces", responses=ExaminationOut(many=True)),
    retrieve=extend_schema(summary="One examination, by uid", responses=ExaminationOut),
)
class Examinations(Resource):
    """Looks at condition. A signed one is never changed: a newer one `replaces` it."""

    acts = {"GET": "record.read", "POST": "examination.write", "PATCH": "examination.sign"}
    sorts = {"on": "on", "id": "id", "changed_at": "changed_at"}
    sort = "-on"
    number_field = "uid"
    filterset_class = ExaminationFilter
    serializer_class = ExaminationOut
    queryset = Examination.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.with_findings(reads.examinations(reader))

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=as_uid(number)).first() if as_uid(number) else None

    def show(self, record: Any) -> dict[str, Any]:
        return {
            "uid": str(record.uid),
            "of": record.number,
            "state": "superseded" if record.is_replaced else "signed" if record.signed else "draft",
            **{n: getattr(record, n) for n in _SAME},
            "by": record.by.name,
            "place": record.place.code if record.place else None,
            "previous": str(record.previous.uid) if record.previous else None,
            "replaces": str(record.replaces.uid) if record.replaces else None,
            "signed_at": record.signed_at,
            "signed_by": str(record.signed_by.person) if record.signed_by else None,
            "findings": [_finding(record, f) for f in record.findings.all()],
            "report": f"{record.href}papers/condition-report.pdf",
            "version": record.version,
        }

    @extend_schema(
        request={"application/json": ExaminationIn},
        responses={201: ExaminationOut},
        summary="Write down an examination",
    )
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        if (self.request.content_type or "").startswith("multipart/"):
            held = self._as_form()
        else:
            said = self.said(ExaminationIn)
            what = subject_said(self.actor, said.pop("of"), "of")
            sign = said.pop("sign", True)
            held = actions.examine(self.actor, what, self._read(said), sign=sign)
        shown = self.show(self.rows(self.actor).get(pk=held.pk))
        return made(shown, f"/api/v1/examinations/{held.uid}/", etag_of(held))

    def _as_form(self) -> Examination:
        """The fields of the page's form, as a phone sends them that had no signal; it was looked at when it was kept."""
        data: Any = self.request.data.copy()
        what = subject_said(self.actor, str(data.get("of", "")), "of")
        if not data.get("on") and (kept_at := data.get("made_at")):
            data["on"] = local(serializers.DateTimeField().to_internal_value(kept_at)).date().isoformat()
        last = reads.last_of(what)
        form = ExaminationForm(
            data, self.request.FILES, actor=self.actor, of=str(what), last=reads.standing_findings(last)
        )
        if not form.is_valid():
            raise Refusal(*(Reason(str(e), name) for name, errors in form.errors.items() for e in errors))
        return actions.examine(self.actor, what, form.said(), sign=form.signing)

    def _read(self, said: dict[str, Any]) -> ExaminationSaid:
        carried, new = said.pop("carried", []), said.pop("new", [])
        said["by"] = person_said(self.actor, said["by"], "by") if said.get("by") else me(self.actor)
        said["picture"] = _photograph(self.actor, said.get("picture"), "picture")
        said["replaces"] = self._signed_one(said.get("replaces"))
        return ExaminationSaid(
            **said,
            carried=tuple(self._carried(one, f"carried/{n}") for n, one in enumerate(carried)),
            new=tuple(NewSaid(**(one | {"mark": self._mark(one, f"new/{n}")})) for n, one in enumerate(new)),
        )

    def _carried(self, said: dict[str, Any], at: str) -> CarriedSaid:
        uid = said.pop("finding")
        pk = Finding.objects.filter(uid=uid).values_list("pk", flat=True).first()
        if pk is None:
            raise Refusal(Reason("There is no such finding.", f"{at}/finding", said=str(uid)))
        return CarriedSaid(pk, **(said | {"mark": self._mark(said, at)}))

    def _mark(self, said: dict[str, Any], at: str) -> MarkSaid | None:
        if not (drawn := said.get("mark")):
            return None
        photograph = _photograph(self.actor, drawn["photograph"], f"{at}/mark/photograph")
        return MarkSaid(photograph, drawn["shape"], drawn["position"], drawn.get("radius_px"))

    def _signed_one(self, uid: Any) -> Examination | None:
        if not uid:
            return None
        found = reads.examinations(self.actor).filter(uid=uid).first()
        if found is None:
            raise Refusal(Reason("There is no such examination.", "replaces", said=str(uid)))
        return found

    @extend_schema(request=Signed, responses=ExaminationOut, summary="Sign an examination")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        held, seen = self.one(number), self.seen_version()
        if held.signed:
            raise Hindered("It is signed already, and stays as it is.")
        self.said(Signed)
        signed = actions.sign_examination(self.actor, held.pk, expected_version=seen)
        return Response(self.show(self.rows(self.actor).get(pk=held.pk)), headers={"ETag": etag_of(signed)})


def _finding(held: Examination, f: Finding) -> dict[str, Any]:
    names = ("n", "verdict", "kind", "where", "size_mm", "grade", "origin", "active", "note")
    return {
        "uid": str(f.uid),
        **{n: getattr(f, n) for n in names},
        "first_seen_on": f.first.examination.on if f.first else held.on,
        "carried_from": str(f.carried_from.uid) if f.carried_from else None,
        "mark": as_document(f.mark) if f.mark else None,
    }


def _photograph(reader: Actor, uid: Any, field: str) -> Photograph | None:
    if not uid:
        return None
    try:
        return photograph_at(reader, uid)
    except NotFound:
        raise Refusal(Reason("We have no such photograph.", field, said=str(uid))) from None
