"""A cast or a piece is put on a mount, and taken off."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.ground.fields import Chosen
from catalog.ground.http import Asked, page, refusals_on, status_of
from registry.mounts import actions, reads
from registry.mounts.forms import PutOnForm, TakeOffForm
from registry.mounts.pages.mounts import cautions_of


@page("mount.write")
def put_on(request: Asked, number: str) -> HttpResponse:
    """`?of=2011.3`: this goes on it."""
    found = reads.mount_at(request.actor, number)
    of = request.GET.get("of", "")[:60]
    form = PutOnForm(request.POST or None, actor=request.actor, initial={"thing": Chosen(of, of)} if of else {})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            row = actions.mount_cast(request.actor, found, form.cleaned_data["thing"], form.said())
            messages.success(request, f"{row.thing} is on {found.number}. Look at the loads.")
            return HttpResponseRedirect(found.href)
    facts = {
        "form": form,
        "mount": found,
        "act": f"Put it on {found.number}",
        "title": f"Put something on {found.number}",
    }
    return render(request, "mounts/form.html", facts | {"cautions": cautions_of(found)}, status=status_of(form))


@page("mount.write")
def take_off(request: Asked, number: str, pk: int) -> HttpResponse:
    """By the plan, with the people named; then it may be moved."""
    found = reads.mount_at(request.actor, number)
    row = reads.mounted_at(request.actor, found, pk)
    form = TakeOffForm(request.POST or None, actor=request.actor, initial={"version": row.version})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            typed = form.cleaned_data
            more = {n: typed[n] for n in ("words", "to", "on", "by")}
            actions.unmount(request.actor, row.pk, **more, expected_version=typed["version"])
            messages.success(request, f"{row.thing} is off {found.number}.")
            return HttpResponseRedirect(row.thing.href)
    facts = {"form": form, "mount": found, "row": row, "act": f"Take {row.thing} off {found.number}"}
    facts |= {"title": f"Take {row.thing} off {found.number}", "cautions": cautions_of(found), "plan": found.plan}
    return render(request, "mounts/form.html", facts, status=status_of(form))
