"""The refitting page of a cast: what fits what, what may be tried, faces added and divided."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts import actions, reads
from catalog.casts.forms.pieces import ChangeJoinForm, FaceForm, JoinForm, PlaceFaceForm
from catalog.casts.models import BreakFace, Cast, Join, Piece
from catalog.casts.reads.fits import fits_of
from catalog.casts.reads.graph import graph_of
from catalog.casts.reads.refitting import face_at, faces, joins, joins_of, standing_join_of
from catalog.casts.reads.wholes import whole_of
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.refusal import NotFound
from catalog.ground.roles import may

_TRIED = 12
_PER_PAGE = 50


@page("record.read")
def refitting(request: Asked, number: str) -> HttpResponse:
    """The picture by depth, suggestions with their reasons, what is loose, every join. A reader reads it."""
    cast = reads.cast_at(request.actor, number)
    form = JoinForm(None, actor=request.actor)
    return _board(request, cast, form)


@page("join.dry")
def join(request: Asked, number: str) -> HttpResponse:
    """Two faces fit, or do not: from a suggestion or typed."""
    cast = reads.cast_at(request.actor, number)
    deed = request.POST.get("deed", "")
    if request.method == "POST" and deed == "refused":
        a, b = (face_at(request.actor, request.POST.get(name, "")[:80]) for name in ("face_a", "face_b"))
        actions.refuse_fit(request.actor, a, b)
        messages.success(request, f"{a.number} and {b.number} are not suggested again.")
        return redirect(f"{cast.href}refitting/#next")
    said = request.POST.copy() if request.method == "POST" else None
    if said is not None and deed == "fits":
        said["state"] = "dry fit"
    form = JoinForm(said, actor=request.actor, initial={"face_a": request.GET.get("face", "")[:80]})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            typed = form.cleaned_data
            made = actions.join_faces(
                request.actor, typed["face_a"], typed["face_b"], state=typed["state"], **form.done()
            )
            messages.success(request, f"{made.face_a.number} to {made.face_b.number}: {made.state}.")
            return redirect(f"{made.cast.href}refitting/#next")
    return _board(request, cast, form)


def _board(request: Asked, cast: Cast, form: JoinForm) -> HttpResponse:
    reader = request.actor
    whole = whole_of(reader, cast)
    suggestions = fits_of(reader, cast)
    listed = Paginator(joins_of(reader, cast), _PER_PAGE).get_page(request.GET.get("page"))
    shown = suggestions.pairs[:_TRIED]
    section = request.GET.get("section", "")[:60]
    facts: dict[str, Any] = {
        "cast": cast,
        "whole": whole,
        "graph": graph_of(reader, cast, suggested=shown, section=section),
        "section": section,
        "suggestions": suggestions,
        "shown": shown,
        "joins": listed,
        "form": form,
        "key": uuid4().hex,
        "deed_to": f"{cast.href}refitting/joins/new/" if may(reader, "join.dry") else "",
        "act": "Write the join",
        "faces_by_piece": _open_by_piece(suggestions.faces),
    }
    return render(request, "casts/refitting.html", facts, status=status_of(form))


def _open_by_piece(rows: list[BreakFace]) -> list[dict[str, Any]]:
    """Pieces with their open faces, in order."""
    by: dict[int, dict[str, Any]] = {}
    for face in rows:
        by.setdefault(face.piece_id, {"piece": face.piece, "faces": []})["faces"].append(face)
    return list(by.values())


def _join(request: Asked, pk: int) -> Join:
    found = joins(request.actor).filter(pk=pk).first()
    if found is None:
        raise NotFound("There is no such join.")
    return found


@page("join.dry")
def change_join(request: Asked, pk: int) -> HttpResponse:
    """A dry fit is fixed; a join failed, or was undone."""
    held = _join(request, pk)
    form = ChangeJoinForm(request.POST or None, join=held, initial={"version": held.version, "adhesive": held.adhesive})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            seen = form.cleaned_data["version"]
            state = form.cleaned_data["state"]
            actions.change_join(request.actor, pk, state, expected_version=seen, **form.done())
            messages.success(request, f"{held.face_a.number} to {held.face_b.number}: {state}.")
            return redirect(f"{held.cast.href}refitting/")
    facts = {"form": form, "join": held, "cast": held.cast, "act": "Write what became of it"}
    return render(request, "casts/change_join.html", facts, status=status_of(form))


@page("piece.write")
def add_face(request: Asked, number: str, suffix: str) -> HttpResponse:
    """One more break face of a piece."""
    piece = reads.piece_at(request.actor, number, suffix)
    form = FaceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            face = actions.add_face(request.actor, piece, **form.said())
            messages.success(request, f"It is face {face.number}.")
            return redirect(piece.href)
    facts = {"form": form, "piece": piece, "cast": piece.cast, "heading": "a break face", "act": "Write the face"}
    return render(request, "casts/piece_form.html", facts, status=status_of(form))


def _face(request: Asked, pk: int) -> BreakFace:
    found = faces(request.actor).filter(pk=pk).first()
    if found is None:
        raise NotFound("There is no such face.")
    return found


@page("piece.write")
def measure_face(request: Asked, pk: int) -> HttpResponse:
    """Its size and which end it is; divide it; say which part of a broken piece carries it."""
    face = _face(request, pk)
    form = FaceForm(request.POST or None, initial=FaceForm.begin(face))
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            seen = form.cleaned_data["version"]
            actions.measure_face(request.actor, pk, form.said(), expected_version=seen)
            return redirect(face.piece.href)
    tied = standing_join_of(face)
    parts = _parts(face)
    facts = {
        "form": form,
        "face": face,
        "piece": face.piece,
        "cast": face.piece.cast,
        "tied": tied,
        "act": f"Write it for face {face.letter}",
        "place_form": PlaceFaceForm(None, parts=parts, prefix="place") if parts else None,
    }
    return render(request, "casts/face.html", facts, status=status_of(form))


def _parts(face: BreakFace) -> list[Piece]:
    """What came of the piece that the face was left on."""
    if face.piece.present:
        return []
    rows = Piece.objects.select_related("cast").filter(cast=face.piece.cast, present=True)
    return list(rows.filter(suffix__startswith=f"{face.piece.suffix}.").order_by("sort"))


@page("piece.write")
def divide_face(request: Asked, pk: int) -> HttpResponse:
    """`a` becomes `a1` and `a2`."""
    face = _face(request, pk)
    if request.method == "POST":
        parts = actions.divide_face(request.actor, pk)
        messages.success(request, f"Face {face.letter} is {parts[0].letter} and {parts[1].letter} now.")
    return redirect(face.piece.href)


@page("piece.write")
def place_face(request: Asked, pk: int) -> HttpResponse:
    """Which part of a broken piece carries it."""
    face = _face(request, pk)
    form = PlaceFaceForm(request.POST or None, parts=_parts(face), prefix="place")
    if request.method == "POST" and form.is_valid():
        placed = actions.place_face(request.actor, pk, form.part())
        messages.success(request, f"It is face {placed.number} now.")
        return redirect(placed.piece.href)
    return redirect(f"/faces/{pk}/")
