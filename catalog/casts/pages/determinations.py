"""Pages on which animal a cast is of."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts import actions
from catalog.casts.forms import DeterminationForm
from catalog.casts.models import Determination
from catalog.casts.reads import cast_at
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.refusal import NotFound
from catalog.ground.sight import visible_to


@page("determination.propose")
def determine(request: Asked, number: str) -> HttpResponse:
    """Write who says which animal it is."""
    cast = cast_at(request.actor, number)
    form = DeterminationForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.determine(request.actor, cast, **form.said())
            return redirect(cast.href)
    facts = {"form": form, "cast": cast, "act": "Write determination"}
    return render(request, "casts/determine.html", facts, status=status_of(form))


@page("determination.accept")
def accept_determination(request: Asked, number: str, pk: int) -> HttpResponse:
    """The keeper makes one determination the accepted one."""
    cast = cast_at(request.actor, number)
    chosen = (
        visible_to(request.actor, Determination.objects.select_related("taxon", "by")).filter(pk=pk, cast=cast).first()
    )
    if chosen is None:
        raise NotFound("This cast has no such determination.")
    if request.method == "POST":
        actions.accept_determination(request.actor, chosen.pk, witness=request.POST.get("witness", "")[:200])
        return redirect(cast.href)
    return render(request, "casts/accept_determination.html", {"cast": cast, "chosen": chosen})
