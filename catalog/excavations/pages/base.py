"""What the pages of this room share: a page with one form, a list, and two people on one record."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render

from catalog.excavations.answers import LABELS
from catalog.excavations.cautions import Caution
from catalog.excavations.forms.base import FieldForm
from catalog.ground import say
from catalog.ground.conflict import meeting, settled
from catalog.ground.http import Asked, status_of
from catalog.ground.refusal import Stale

Write = Callable[[dict[str, Any], int], object]


def form_page(
    request: Asked,
    form: FieldForm,
    *,
    heading: str,
    act: str,
    path: list[tuple[str, str]],
    lead: str = "",
    cautions: tuple[Caution, ...] = (),
    **facts: Any,
) -> HttpResponse:
    """A page with one form; `path` is (address, word) from the list down to the thing."""
    shown = {"form": form, "heading": heading, "act": act, "path": path, "lead": lead, "cautions": cautions} | facts
    return render(request, facts.get("template", "excavations/form.html"), shown, status=status_of(form))


def change_or_meet(request: Asked, form: Any, write: Write, *, title: str, back: str) -> HttpResponse | None:
    """Writes a change. What somebody else changed meanwhile in other fields is kept; in the same fields both are shown.

    None when it is written; else the page with both, on which nothing is written yet.
    """
    said = settled(form.said(), request.POST)  # type: ignore[arg-type]
    version = form.cleaned_data["version"] or 0
    try:
        write(said, version)
    except Stale as stale:
        now: Any = stale.now
        met = meeting(now, version, said)
        if met.clashes:
            return _both(request, said, now, met.clashes, title=title, back=back)
        write(met.mine, now.version)
    return None


def _both(request: Asked, said: dict[str, Any], now: Any, clashes: list[str], *, title: str, back: str) -> HttpResponse:
    rows = [
        {
            "name": name,
            "label": say.capital(LABELS.get(name, name.replace("_", " "))),
            "theirs": _shown(getattr(now, name)),
            "mine": _shown(said[name]),
        }
        for name in clashes
    ]
    left_out = ("version", "key", "csrfmiddlewaretoken")
    kept = [(k, v) for k in request.POST if k not in left_out for v in request.POST.getlist(k)]
    who = now.changed_by.person.name if now.changed_by else "Somebody"
    facts = {"rows": rows, "kept": kept, "now": now, "who": who, "title": title, "back": back}
    return render(request, "excavations/both.html", facts, status=412)


def _shown(value: Any) -> str:
    return "nothing" if value in (None, "") else str(value)
