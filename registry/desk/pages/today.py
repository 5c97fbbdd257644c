"""Today, what waits on this phone, and the look."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from catalog.ground.collection import today as this_day
from catalog.ground.http import Asked, page
from catalog.ground.pattern_sheet import everything
from catalog.ground.roles import may
from registry.desk import reads
from registry.desk.rules import big_acts, how_much_waits


@page("record.read")
def today(request: Asked) -> HttpResponse:
    """What waits for me: late first."""
    day = this_day()
    groups = reads.todays_groups(request.actor, day, whole=request.GET.get("all", ""))
    n = sum(group.n for group in groups)
    n_late = sum(group.n for group in groups if group.weight == "late")
    facts = {
        "day": day,
        "says": how_much_waits(n, n_late),
        "groups": groups,
        "acts": [act for act in big_acts(request.actor.roles) if may(request.actor, act.act)],
        "waiting": n,
    }
    return render(request, "desk/today.html", facts)


@page("record.read")
def outbox(request: Asked) -> HttpResponse:
    """What waits on this phone; the device itself fills it."""
    return render(request, "look/outbox.html")


@page("record.read")
def look(request: Asked) -> HttpResponse:
    """Every part of the look in every state."""
    return render(request, "look/look.html", everything(this_day()))
