"""The front page, and the form of what visitors read."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.models import Cast
from catalog.casts.reads import cast_at
from catalog.ground import say
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.media.reads import photographs_of
from catalog.publishing import actions, reads
from catalog.publishing.forms import VisitorForm
from catalog.publishing.models import PublicPage
from catalog.publishing.public import for_everybody

_MOST = 60


@page("public.read")
def front(request: Asked) -> HttpResponse:
    """The station in two sentences and what can be seen of it. Who is signed in goes on to their work."""
    if request.actor.signed_in:
        return redirect("/today/")
    found = list(reads.standing_pages()[: _MOST + 1])
    shown = set(reads.pictures_shown().values_list("picture", flat=True)) if found else set()
    facts = {"shown": [_row(p, shown) for p in found[:_MOST]], "more": len(found) > _MOST}
    return for_everybody(request, render(request, "publishing/front.html", facts))


def _row(one: PublicPage, shown: set[Any]) -> dict[str, Any]:
    picture = one.picture if one.picture_id in shown else None
    return {
        "page": one,
        "cast": one.cast,
        "picture": picture.uid if picture else None,
        "outline": reads.outline_of(one),
    }


@page("cast.publish")
def visitor(request: Asked, number: str) -> HttpResponse:
    """What visitors read of a cast: written here, seen here as they see it, published or taken back."""
    cast = cast_at(request.actor, number)
    there = reads.page_of(cast) or reads.begun(cast)
    pictures, n_kept_back = reads.pictures_to_offer(cast, photographs_of(request.actor, cast))
    form = VisitorForm(request.POST or None, initial=VisitorForm.begin(cast, there), pictures=pictures)
    form.pencil = f"visitor-{cast.number}"
    form.fields["picture"].help_text = not_offered(n_kept_back)
    if request.method == "POST" and form.is_valid() and "look" not in request.POST:
        with refusals_on(form):
            actions.publish_cast(request.actor, cast, **form.said(), expected_version=form.cleaned_data["version"] or 0)
            messages.success(request, f"Visitors read {cast.number} now.")
            return redirect(f"{cast.href}visitor/")
    return _form(request, cast, there, form)


def not_offered(n: int) -> str:
    """Why there are fewer pictures to choose from than photographs."""
    if not n:
        return ""
    shows = "shows" if n == 1 else "show"
    return f"{say.capital(say.plural(n, 'photograph'))} {shows} the place or a label, and the place is kept back."


def _form(request: Asked, cast: Cast, there: PublicPage, form: VisitorForm) -> HttpResponse:
    typed = form.is_bound and form.is_valid()
    preview = reads.as_typed(cast, there, form.said()) if typed else there
    if typed and "look" in request.POST:
        for reason in reads.what_stands_against(cast, preview):
            form.add_error(reason.field or None, reason.sentence)
    facts = {
        "cast": cast,
        "form": form,
        "stands": bool(cast.published_on and there.pk and not there.withdrawn_on),
        "act": "Publish it" if not cast.published_on else "Change what visitors read",
        "preview": reads.visitor_facts(cast, preview),
        "there": there,
    }
    return render(request, "publishing/visitor_form.html", facts, status=status_of(form))


@page("cast.withdraw")
def take_back(request: Asked, number: str) -> HttpResponse:
    """Takes a cast back from visitors."""
    cast = cast_at(request.actor, number)
    if request.method == "POST":
        actions.withdraw_cast(request.actor, cast)
        messages.success(request, f"Visitors do not read {cast.number} any more. Kept copies are gone in five minutes.")
    return redirect(f"{cast.href}visitor/")
