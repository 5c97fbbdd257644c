"""Instruments: all of them, a new one, one with its calibrations."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.ground.collection import today
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.measurements import actions, reads
from catalog.measurements.forms import CalibrationForm, InstrumentForm
from catalog.measurements.models import Calibration

_ROWS = 50


@page("record.read")
def instruments(request: Asked) -> HttpResponse:
    """What things are measured with, and which of them are in date."""
    shown = Paginator(reads.instruments(request.actor).order_by("code"), _ROWS).get_page(request.GET.get("page"))
    day = today()
    rows = [{"it": i, "wrong": reads.in_date_of(list(i.calibrations.all()), day)} for i in shown]
    newer = f"?page={shown.previous_page_number()}" if shown.has_previous() else ""
    older = f"?page={shown.next_page_number()}" if shown.has_next() else ""
    facts = {"rows": rows, "newer": newer, "older": older}
    return render(request, "measurements/instruments.html", facts)


@page("instrument.write")
def new_instrument(request: Asked) -> HttpResponse:
    """An instrument by the short name that stands on it."""
    form = InstrumentForm(request.POST or None)
    form.pencil = "instrument"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            typed = form.cleaned_data
            new = actions.add_instrument(request.actor, typed["code"].strip(), typed["kind"], **form.said())
            messages.success(request, f"{new.code} is on record. Write down its calibration next.")
            return redirect(new.href)
    facts = {"form": form, "act": "Write the instrument"}
    return render(request, "measurements/new_instrument.html", facts, status=status_of(form))


@page("record.read")
def instrument(request: Asked, code: str) -> HttpResponse:
    """One instrument: what it states, its calibrations, what it measured last."""
    found = reads.instrument_at(request.actor, code)
    rows = sorted(found.calibrations.all(), key=lambda c: (c.on, c.pk), reverse=True)
    facts = {
        "it": found,
        "wrong": reads.in_date_of(rows, today()),
        "calibrations": rows[:_ROWS],
        "newest": reads.weighings(request.actor).filter(instrument=found).order_by("-at", "-pk")[:10],
    }
    return render(request, "measurements/instrument.html", facts)


@page("calibration.write")
def calibrate(request: Asked, code: str) -> HttpResponse:
    """A certificate, or what puts it in doubt."""
    found = reads.instrument_at(request.actor, code)
    form = CalibrationForm(request.POST or None)
    form.pencil = f"calibration-{found.code}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made: Calibration = actions.calibrate(request.actor, found, form.cleaned_data["on"], **form.said())
            word = "calibrated" if made.passed else "in doubt"
            messages.success(request, f"{found.code} is {word} from that day on.")
            return redirect(found.href)
    facts = {"form": form, "it": found, "act": f"Write it down for {found.code}"}
    return render(request, "measurements/calibrate.html", facts, status=status_of(form))
