"""Trays: all that are open, a new one, one with its rows, many rows at once, crumbs, what is doubtful."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import F
from django.http import HttpResponse, HttpResponseRedirect, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from catalog.casts.models import MASS_STATES, Piece
from catalog.casts.reads import cast_at
from catalog.ground import say
from catalog.ground.collection import collection
from catalog.ground.figures import read_amount
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.measurements.reads import instrument_said, listening, readings_waiting
from registry.places import actions, reads
from registry.places.forms_trays import BeginTrayForm
from registry.places.models import TrayList
from registry.places.reads import trays as tray_reads
from registry.places.tray_cautions import AT_THE_TRAY
from registry.places.tray_rows import COLUMNS, HEADS, RowSaid, read_row, rows_pasted, says_something

_ROWS = 50
_BLANK = 20
_EPOCH = datetime.min.replace(tzinfo=timezone.get_default_timezone())


@page("record.read")
def trays(request: Asked) -> HttpResponse:
    """Trays in which pieces are listed, those still open first."""
    rows = tray_reads.counted(tray_reads.tray_lists(request.actor)).order_by(
        F("closed_at").desc(nulls_first=True), "-pk"
    )
    shown = Paginator(rows, _ROWS).get_page(request.GET.get("page"))
    newer = f"?page={shown.previous_page_number()}" if shown.has_previous() else ""
    older = f"?page={shown.next_page_number()}" if shown.has_next() else ""
    return render(request, "places/trays.html", {"rows": shown, "newer": newer, "older": older})


@page("record.read")
def trays_of_cast(request: Asked, number: str) -> HttpResponse:
    """The trays of one cast."""
    cast = cast_at(request.actor, number)
    rows = tray_reads.counted(tray_reads.tray_lists(request.actor).filter(cast=cast))[:_ROWS]
    return render(request, "places/trays.html", {"rows": rows, "cast": cast})


@page("tray.enter")
def begin(request: Asked) -> HttpResponse:
    """Which tray, for the pieces of which cast (an entry number is enough), from which lift."""
    asked = {n: request.GET.get(n, "") for n in ("tray", "cast")}
    form = BeginTrayForm(request.POST or None, actor=request.actor, initial=asked | {"state": "wet"})
    form.pencil = "tray"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            tray = actions.begin_tray(request.actor, *form.things(), **form.said())
            return HttpResponseRedirect(tray.href)
    facts = {"form": form, "act": "Open the tray", "cautions": AT_THE_TRAY}
    return render(request, "places/begin_tray.html", facts, status=status_of(form))


def _tray(request: Asked, code: str) -> TrayList | None:
    return tray_reads.open_tray(request.actor, reads.place_at(request.actor, code))


def _needed(request: Asked, code: str) -> TrayList:
    found = _tray(request, code)
    if found is None:
        raise NotFound(Reason(f"Nothing is listed in {code} yet.", remedy=f"/trays/new/?tray={code}"))
    return found


@page("record.read")
def tray(request: Asked, code: str) -> HttpResponse:
    """The grid: a row a piece, each kept as it is left."""
    found = _tray(request, code)
    if found is None:
        return HttpResponseRedirect(f"/trays/new/?tray={code}")
    whole = tray_reads.tray_of(request.actor, found)
    due, constant = tray_reads.due_in(request.actor, found)
    facts = {
        "tray": whole,
        "it": found,
        "columns": list(zip(COLUMNS, HEADS, strict=True)),
        "kinds": Piece.KINDS,
        "states": MASS_STATES,
        "balances": listening(request.actor),
        "others": tray_reads.counted(tray_reads.tray_lists(request.actor).filter(cast=found.cast).exclude(pk=found.pk))[
            :12
        ],
        "due": due,
        "constant": constant,
        "now": timezone.now().isoformat(),
        "labels": ",".join(r.piece.number for r in whole.rows),
        "cautions": AT_THE_TRAY,
        "key": uuid4().hex,
    }
    return render(request, "places/tray.html", facts)


@page("record.read")
def since(request: Asked, code: str) -> HttpResponse:
    """What others kept since that instant, and what the balance sent: 204 where there is nothing."""
    found, now = _needed(request, code), timezone.now()
    asked = parse_datetime(request.GET.get("since", "").replace(" ", "+")) or _EPOCH
    asked = asked if asked.tzinfo else _EPOCH
    balance = instrument_said(request.GET.get("instrument", ""))
    after = request.GET.get("after", "")
    waiting = (
        readings_waiting(balance, int(after) if after.isascii() and after.isdigit() and len(after) < 19 else 0)
        if balance
        else []
    )
    changed = tray_reads.changed_since(found, asked)
    if not (waiting or changed):
        return HttpResponse(status=204)
    facts: dict[str, Any] = {"at": now.isoformat(), "rows": [], "readings": [_reading(r) for r in waiting]}
    if changed:
        whole = tray_reads.tray_of(request.actor, found)
        facts["rows"] = [r.told() for r in tray_reads.rows_since(whole, asked)]
        facts |= {"sums": whole.sums, "next": whole.next_suffix}
    return JsonResponse(facts)


def _reading(r: Any) -> dict[str, Any]:
    return {"cursor": r.pk, "key": r.key, "mass_g": say.figure(r.mass_g, spaced_from=99)}


# many rows at once: without script, and from a spreadsheet


@page("tray.enter")
def many(request: Asked, code: str) -> HttpResponse:
    """Twenty rows a go, kept by one press: all or none."""
    found = _needed(request, code)
    if request.method != "POST":
        return _many(request, found, [{} for _ in range(_BLANK)])
    typed = [row for row in _typed(request) if says_something(row)]
    said, wrong = _read(found, typed)
    if typed and not any(wrong):
        try:
            kept = actions.save_rows(request.actor, found.pk, said, by=reads.me(request.actor))
            messages.success(request, f"{say.capital(say.plural(len(kept), 'piece'))} kept in {found.tray.code}.")
            return HttpResponseRedirect(found.href)
        except Refusal as refusal:
            if refusal.status not in (409, 422):
                raise
            wrong = _by_row(refusal, len(typed))
    return _many(
        request, found, typed or [{} for _ in range(_BLANK)], wrong or [[Reason("Write at least one row.")]], 422
    )


def _typed(request: Asked) -> list[dict[str, str]]:
    """The rows of the form: `r0-mass_g`, `r0-kind` …"""
    found = []
    for n in range(400):
        if f"r{n}-mass_g" not in request.POST:
            break
        found.append({c: request.POST.get(f"r{n}-{c}", "") for c in COLUMNS})
    return found


def _read(found: TrayList, typed: list[dict[str, str]]) -> tuple[list[RowSaid], list[list[Reason]]]:
    comma = collection().decimal_comma
    read = [read_row(row, Piece.KINDS, cast=found.cast.number, decimal_comma=comma) for row in typed]
    return [said for said, _ in read], [wrong for _, wrong in read]


def _by_row(refusal: Refusal, n: int) -> list[list[Reason]]:
    """Each sentence beside the row it is about; the first where it is about none."""
    found: list[list[Reason]] = [[] for _ in range(n)]
    for reason in refusal.reasons:
        at, _, name = reason.field.partition("/")
        row = int(at) if at.isdigit() and int(at) < n else 0
        found[row].append(Reason(reason.sentence, name, reason.remedy, reason.said))
    return found


def _many(
    request: Asked,
    found: TrayList,
    typed: list[dict[str, str]],
    wrong: list[list[Reason]] | None = None,
    status: int = 200,
) -> HttpResponse:
    wrong = (wrong or []) + [[] for _ in typed]
    rows = [
        {
            "n": n,
            "cells": [
                (c, head, row.get(c, ""), [r.sentence for r in wrong[n] if r.field == c])
                for c, head in zip(COLUMNS, HEADS, strict=True)
            ],
            "rest": [r.sentence for r in wrong[n] if r.field not in COLUMNS],
        }
        for n, row in enumerate(typed)
    ]
    facts = {
        "it": found,
        "rows": rows,
        "n_wrong": sum(map(len, wrong)),
        "columns": list(zip(COLUMNS, HEADS, strict=True)),
        "key": uuid4().hex,
        "pasted": "rows" in request.POST,
    }
    return render(request, "places/tray_many.html", facts, status=status)


@page("tray.enter", once_only=False)
def pasted(request: Asked, code: str) -> HttpResponse:
    """Rows from a spreadsheet as they were understood; nothing is written before they are kept."""
    found = _needed(request, code)
    if request.method != "POST":
        return HttpResponseRedirect(found.href)
    try:
        typed = rows_pasted(request.POST.get("rows", ""))
    except ValueError as error:
        raise Refusal(Reason(str(error), "rows")) from None
    if not typed:
        return _many(request, found, [{} for _ in range(_BLANK)], [[Reason("Nothing was pasted.")]], 422)
    return _many(request, found, typed, _read(found, typed)[1])


# crumbs, doubts, the tray itself


@page("tray.enter")
def crumbs(request: Asked, code: str) -> HttpResponse:
    """The crumbs of this tray: how many, and what they weigh together."""
    found, typed = _needed(request, code), request.POST
    if request.method != "POST":
        return HttpResponseRedirect(found.href)
    n = typed.get("n", "").strip()
    if n and not (n.isascii() and n.isdigit() and len(n) < 7):
        raise Refusal(Reason("Count the crumbs: a whole number.", "n", said=n[:20]))
    lot = actions.keep_tray_crumbs(request.actor, found.pk, _mass(typed.get("mass_g", "")), n=int(n) if n else None)
    counted = f"{say.plural(lot.n, 'crumb')}, " if lot.n else ""
    messages.success(request, f"Crumbs of {found.tray.code}: {counted}{say.mass(lot.mass_g)}.")
    return HttpResponseRedirect(found.href)


def _mass(said: str) -> Decimal | None:
    if not said.strip():
        return None
    try:
        return read_amount(said, unit="g", what="mass", decimal_comma=collection().decimal_comma).value
    except ValueError as error:
        raise Refusal(Reason(str(error), "mass_g", said=said[:40])) from None


@page("tray.enter")
def settle(request: Asked, code: str) -> HttpResponse:
    """Somebody looked at what is doubtful: it is right."""
    found, row = _needed(request, code), request.POST.get("row", "")
    if request.method != "POST":
        return HttpResponseRedirect(found.href)
    if not (row.isascii() and row.isdigit() and len(row) < 19):
        raise Refusal(Reason("Say which row is right.", "row"))
    actions.settle_doubt(request.actor, tray_reads.row_at(request.actor, found, int(row)).pk)
    return HttpResponseRedirect(found.href)


@page("tray.enter")
def change(request: Asked, code: str) -> HttpResponse:
    """In which state what comes next is weighed; whether the tray is done, or goes on."""
    found, typed = _needed(request, code), request.POST
    if request.method != "POST":
        return HttpResponseRedirect(found.href)
    if not {"state", "closed"} & set(typed):
        raise Refusal(Reason("Say in which state things are weighed, or whether the tray is done.", "state"))
    closed = typed["closed"] == "yes" if "closed" in typed else None
    actions.change_tray(request.actor, found.pk, state=typed.get("state"), closed=closed)
    return HttpResponseRedirect(found.href)
