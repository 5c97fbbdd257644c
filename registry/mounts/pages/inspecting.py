"""A mount is inspected, one support after the other; an engineer's word is written down."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.ground.collection import today
from catalog.ground.http import Asked, page, refusals_on, status_of
from registry.mounts import actions, reads
from registry.mounts.forms import InspectionForm, WordForm
from registry.mounts.pages.mounts import cautions_of

_ROWS = 40


@page("mount.inspect")
def choose(request: Asked) -> HttpResponse:
    """`?of=F-1` goes on to that mount; without it, the mounts by the day on which they are due."""
    if of := request.GET.get("of", "").strip() or request.POST.get("of", "").strip():
        return HttpResponseRedirect(f"{reads.mount_said(request.actor, of, 'of').href}inspect/")
    rows = reads.mounts(request.actor).order_by("inspect_by", "sort")
    shown = Paginator(rows, _ROWS).get_page(request.GET.get("page"))
    status = 422 if request.method == "POST" else 200
    facts = {"shown": shown, "today": today(), "wrong": status == 422}
    facts |= {"newer": f"?page={shown.previous_page_number()}" if shown.has_previous() else ""}
    facts |= {"older": f"?page={shown.next_page_number()}" if shown.has_next() else ""}
    return render(request, "mounts/choose.html", facts, status=status)


@page("mount.inspect")
def inspect(request: Asked, number: str) -> HttpResponse:
    """Every support is judged, nothing is chosen beforehand; a failed one closes the mount and the space below."""
    found = reads.mount_at(request.actor, number)
    begun = {"mount": found.number}
    form = InspectionForm(request.POST or None, actor=request.actor, supports=found.standing, initial=begun)
    form.pencil = f"inspection-{found.number}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            done = actions.inspect_mount(request.actor, found, form.said())
            for sentence in done.consequences:
                messages.warning(request, sentence)
            if not done.consequences:
                messages.success(request, f"The inspection of {found.number} is written.")
            return HttpResponseRedirect(found.href)
    facts = {"form": form, "mount": found, "cautions": cautions_of(found)}
    return render(request, "mounts/inspect.html", facts, status=status_of(form))


@page("record.read")
def inspection(request: Asked, pk: int) -> HttpResponse:
    """One inspection as it was written."""
    row = reads.inspection_at(request.actor, pk)
    return render(request, "mounts/inspection.html", {"row": row, "mount": row.mount})


@page("mount.release")
def word(request: Asked, number: str) -> HttpResponse:
    """The keeper writes down what a qualified engineer said. One of safety opens what a failure closed."""
    found = reads.mount_at(request.actor, number)
    form = WordForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.release_mount(request.actor, found, form.said())
            words = (
                "stays closed" if made.says == "not safe" else "is open again" if found.closed_on else "has its word"
            )
            messages.success(request, f"{found.number} {words}.")
            return HttpResponseRedirect(found.href)
    facts = {"form": form, "mount": found, "act": "Write the engineer's word", "cautions": cautions_of(found)}
    facts |= {"title": f"{found.number}: what the engineer says"}
    return render(request, "mounts/form.html", facts, status=status_of(form))
