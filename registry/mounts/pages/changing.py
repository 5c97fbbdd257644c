"""A mount and its supports are written and changed."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.ground.fields import Chosen
from catalog.ground.http import Asked, page, refusals_on, status_of
from registry.mounts import actions, reads
from registry.mounts.actions.mounts import MOUNT_FIELDS, SUPPORT_FIELDS
from registry.mounts.forms import ChangeMountForm, MountForm, SupportForm, TakeAwayForm
from registry.mounts.models import Mount, Support
from registry.places.reads import place_coded


@page("mount.write")
def new_mount(request: Asked) -> HttpResponse:
    """A board, a frame, a rod, a cradle. `?place=F-1`: it is that place already."""
    place = place_coded(request.actor, request.GET.get("place", "")[:40]) if request.GET.get("place") else None
    begun = {"place": Chosen(place.name, place.code), "name": place.name} if place else {}
    form = MountForm(request.POST or None, actor=request.actor, initial=begun)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.add_mount(request.actor, form.mount_said())
            messages.success(request, f"{made.number} is on record. Write its supports next.")
            return HttpResponseRedirect(made.href)
    facts = {"form": form, "act": "Write the mount", "title": "A new mount"}
    return render(request, "mounts/form.html", facts, status=status_of(form))


@page("mount.write")
def change_mount(request: Asked, number: str) -> HttpResponse:
    """Changes what is said of a mount; its number stays."""
    found = reads.mount_at(request.actor, number)
    form = ChangeMountForm(request.POST or None, actor=request.actor, initial=_begun(found))
    form.pencil = f"mount-{found.number}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            seen = form.cleaned_data["version"]
            actions.change_mount(request.actor, found.pk, form.said(), expected_version=seen)
            messages.success(request, f"{found.number} is changed.")
            return HttpResponseRedirect(found.href)
    facts = {
        "form": form,
        "mount": found,
        "act": f"Write it down for {found.number}",
        "title": f"Change {found.number}",
    }
    return render(request, "mounts/form.html", facts, status=status_of(form))


def _begun(found: Mount) -> dict[str, Any]:
    begun = {n: getattr(found, n) for n in (*MOUNT_FIELDS, "version")}
    begun |= {n: "yes" if getattr(found, n) else "no" for n in ("both_ways", "overhead", "stays")}
    begun["closes"] = Chosen(found.closes.name, found.closes.code) if found.closes else None
    return begun


@page("mount.write")
def new_support(request: Asked, number: str) -> HttpResponse:
    """One more point where it carries."""
    found = reads.mount_at(request.actor, number)
    form = SupportForm(request.POST or None)
    form.pencil = f"support-{found.number}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.add_support(request.actor, found, form.said())
            messages.success(request, f"Support {made.number} is on record.")
            return HttpResponseRedirect(found.href)
    facts = {"form": form, "mount": found, "act": "Write the support", "title": f"A support of {found.number}"}
    return render(request, "mounts/form.html", facts, status=status_of(form))


@page("mount.write")
def change_support(request: Asked, number: str, support: str) -> HttpResponse:
    found = reads.mount_at(request.actor, number)
    held = reads.support_at(request.actor, found, support)
    begun = {n: getattr(held, n) for n in (*SUPPORT_FIELDS, "version")}
    form = SupportForm(request.POST or None, initial=begun)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            changes, seen = vars(form.said()), form.cleaned_data["version"]
            actions.change_support(request.actor, held.pk, changes, expected_version=seen)
            messages.success(request, f"Support {held.number} is changed.")
            return HttpResponseRedirect(found.href)
    title = f"{found.number}: change support {held.number}"
    away = f"{found.href}supports/{held.number}/take-away/"
    facts = {"form": form, "mount": found, "act": "Write it down", "title": title, "away": away}
    return render(request, "mounts/form.html", facts, status=status_of(form))


@page("mount.write")
def take_away(request: Asked, number: str, support: str) -> HttpResponse:
    """A support is no longer there."""
    found = reads.mount_at(request.actor, number)
    held: Support = reads.support_at(request.actor, found, support)
    form = TakeAwayForm(request.POST or None, initial={"version": held.version})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            why, seen = form.cleaned_data["why"], form.cleaned_data["version"]
            actions.take_support_away(request.actor, held.pk, why, expected_version=seen)
            messages.success(request, f"Support {held.number} of {found.number} is taken away. Look at the loads now.")
            return HttpResponseRedirect(found.href)
    title = f"{found.number}: take support {held.number} away"
    facts = {"form": form, "mount": found, "act": "Take it away", "title": title}
    return render(request, "mounts/form.html", facts, status=status_of(form))
