"""Pages of casts."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render

from catalog.casts import actions, lists, reads
from catalog.casts.forms import DescribeForm, FormerNumberForm
from catalog.casts.models import Cast
from catalog.casts.numbers import public_path_part
from catalog.casts.page import cast_facts
from catalog.casts.rules.casts import LABELS
from catalog.ground.asks import history_of
from catalog.ground.conflict import meeting, settled
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.lists import export
from catalog.ground.past import changes_of
from catalog.ground.refusal import NotFound, Stale


@page("public.read")
def casts(request: Asked) -> HttpResponse:
    """The list of casts; a visitor's holds the published ones."""
    listing = lists.casts_listing(request)
    if kind := request.GET.get("format"):
        return export(listing.rows, lists.export_columns(request.actor), kind, "casts")  # type: ignore[return-value]
    return render(request, "casts/casts.html", lists.casts_facts(request.actor, listing))


@page("public.read")
def cast_page(request: Asked, number: str) -> HttpResponse:
    """The cast: seven questions, then its history. A visitor reads its public page; an old number leads on."""
    cast = reads.cast_at(request.actor, number)
    if cast.number.lower() != number.lower():
        return moved_on(f"/casts/{public_path_part(cast.number)}/")
    if not request.actor.staff:
        from catalog.casts.subject import visitor_page

        for response in visitor_page(request, cast):
            return response
        raise NotFound("This is not a number of ours, or not one for your eyes.")
    return render(request, "casts/cast_page.html", cast_facts(request.actor, cast))


def moved_on(href: str) -> HttpResponse:
    response = HttpResponseRedirect(href)
    response.status_code = 308
    return response


@page("cast.describe")
def change(request: Asked, number: str) -> HttpResponse:
    """Record what it is."""
    cast = reads.cast_at(request.actor, number)
    form = DescribeForm(request.POST or None, initial=DescribeForm.begin(cast), actor=request.actor)
    form.pencil = f"describe-{cast.number}"
    if request.method == "POST" and form.is_valid():
        said = settled(form.said(), request.POST)  # type: ignore[arg-type]
        with refusals_on(form):
            return _describe(request, cast, form, said)
    facts = {"form": form, "cast": cast, "act": f"Write it down for {cast.number}"}
    return render(request, "casts/change.html", facts, status=status_of(form))


def _describe(request: Asked, cast: Cast, form: DescribeForm, said: dict[str, Any]) -> HttpResponse:
    version = form.cleaned_data["version"]
    try:
        actions.describe_cast(request.actor, cast.pk, said, expected_version=version)
    except Stale as stale:
        now: Any = stale.now
        met = meeting(now, version or 0, said)
        if met.clashes:
            return _both(request, cast, form, now, met.clashes)
        actions.describe_cast(request.actor, cast.pk, met.mine, expected_version=now.version)
    return redirect(cast.href)


def _both(request: Asked, cast: Cast, form: DescribeForm, now: Cast, clashes: list[str]) -> HttpResponse:
    """Nothing is written: both versions side by side, field by field."""
    said = form.said()
    rows = [
        {"name": n, "label": LABELS.get(n, n), "theirs": _shown(getattr(now, n)), "mine": _shown(said[n])}
        for n in clashes
    ]
    kept = [(k, v) for k, v in request.POST.items() if k not in ("version", "key", "csrfmiddlewaretoken")]
    who = now.changed_by.person.name if now.changed_by else "Somebody"
    facts = {"cast": cast, "rows": rows, "kept": kept, "now": now, "who": who}
    return render(request, "casts/both.html", facts, status=412)


def _shown(value: Any) -> str:
    return (
        "nothing"
        if value in (None, "")
        else {True: "yes", False: "no"}.get(value, str(value))
        if isinstance(value, bool)
        else str(value)
    )


@page("cast.describe")
def add_former_number(request: Asked, number: str) -> HttpResponse:
    """Keep an older number, letter for letter."""
    cast = reads.cast_at(request.actor, number)
    form = FormerNumberForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.add_former_number(
                request.actor, cast, form.cleaned_data["text"], where_from=form.cleaned_data["where_from"]
            )
            return redirect(cast.href)
    facts = {"form": form, "cast": cast, "act": "Keep this number"}
    return render(request, "casts/former_number.html", facts, status=status_of(form))


@page("history.read")
def history(request: Asked, number: str) -> HttpResponse:
    """What changed: old and new side by side, with undo where it may be."""
    cast = reads.cast_at(request.actor, number)
    changes = changes_of(cast, LABELS)
    past = sorted(history_of(request.actor, cast), key=lambda e: e.at, reverse=True)
    return render(request, "casts/history.html", {"cast": cast, "changes": changes, "past": past})


@page("cast.describe")
def undo_change(request: Asked, number: str, version: int) -> HttpResponse:
    """Writes the values before one change again, as a new version."""
    cast = reads.cast_at(request.actor, number)
    if request.method == "POST":
        actions.undo_change(request.actor, cast.pk, version)
    return redirect(f"{cast.href}history/")
