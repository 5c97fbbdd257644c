"""People and bodies: the list, one of them, put on record, changed; invitations, roles, leaves, closed accounts."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.ground.asks import history_of
from catalog.ground.http import Asked, page, refusals_on
from catalog.ground.lists import Column, Facet, export, list_of
from catalog.ground.refusal import NotFound
from catalog.ground.roles import may
from catalog.people import actions, reads
from catalog.people.filters import People
from catalog.people.forms import InviteForm, LeaveForm, PersonForm, PressForm, RolesForm
from catalog.people.forms.persons import facts_of
from catalog.people.models import Account, Person
from catalog.people.pages.base import answered, prove_first, shown_once, tell_done

SORTS = {"name": "name", "town": "town", "kind": "kind"}
FACETS = [Facet("kind", "kind", "Person or body", {"person": "people", "body": "bodies"})]
COLUMNS = [
    Column("name", lambda p: p.name),
    Column("kind", lambda p: p.kind),
    Column("town", lambda p: p.town),
    Column("does", lambda p: p.does),
    Column("orcid", lambda p: p.orcid),
    Column("ror", lambda p: p.ror),
    Column("roles", lambda p: ", ".join(reads.roles_of(p))),
]


@page("record.read")
def people(request: Asked) -> HttpResponse:
    rows = reads.people(request.actor)
    listing = list_of(request, rows, People, sorts=SORTS, sort="name", facets=FACETS)
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "people")  # type: ignore[return-value]
    shown = [{"person": p, "roles": reads.roles_of(p)} for p in listing.page]
    n_open = reads.open_invitations(request.actor).count() if may(request.actor, "person.invite") else 0
    return render(request, "people/people.html", {"listing": listing, "shown": shown, "n_open": n_open})


@page("record.read")
def person(request: Asked, pk: int) -> HttpResponse:
    found = reads.person_at(request.actor, pk)
    account = reads.account_of(found)
    facts = {
        "person": found,
        "account": account,
        "roles": reads.roles_of(found),
        "leaves": reads.leaves_of(account) if account else [],
        "contact": reads.contact_of(request.actor, found),
        "private": may(request.actor, "person.private"),
        "own": account is not None and account.pk == request.actor.account_id,
        "events": history_of(request.actor, found),
    }
    return render(request, "people/person.html", facts)


@page("person.write")
def new_person(request: Asked) -> HttpResponse:
    form = PersonForm(
        request.POST or None, private=may(request.actor, "person.private"), initial={"may_be_named": "no"}
    )
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.add_person(request.actor, form.said())
            _keep_contact(request, made, form)
            return tell_done(request, f"{made.name} is on record.", f"/people/{made.pk}/")
    return answered(request, "people/new_person.html", form)


@page("person.write")
def change_person(request: Asked, pk: int) -> HttpResponse:
    found = reads.person_at(request.actor, pk)
    private = may(request.actor, "person.private")
    facts = facts_of(found, reads.contact_of(request.actor, found) if private else None)
    form = PersonForm(request.POST or None, private=private, initial=facts)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            seen = form.cleaned_data["version"]
            actions.change_person(request.actor, pk, form.said(), expected_version=seen)
            _keep_contact(request, found, form)
            return tell_done(request, f"{form.said().name} is changed.", f"/people/{pk}/")
    return answered(request, "people/change_person.html", form, person=found)


def _keep_contact(request: Asked, about: Person, form: PersonForm) -> None:
    if said := form.contact():
        seen = form.cleaned_data["contact_version"]
        actions.keep_contact(request.actor, about.pk, said, expected_version=seen)


# invitations


@page("person.invite", once_only=False)
def invite(request: Asked) -> HttpResponse:
    """Invites somebody. Where no letter is sent, the link is shown once, to be handed over."""
    about = _invited(request)
    form = InviteForm(request.POST or None, initial={"name": about.name} if about else {})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return shown_once(request, lambda: _invited_now(request, form, about), "/people/invite/")
    still = list(reads.open_invitations(request.actor))
    return answered(request, "people/invite.html", form, open=still, about=about, mail=reads.mail_is_set())


def _invited(request: Asked) -> Person | None:
    said = request.GET.get("person", "")
    return reads.person_at(request.actor, int(said)) if said.isascii() and said.isdigit() else None


def _invited_now(request: Asked, form: InviteForm, about: Person | None) -> HttpResponse:
    made, secret = actions.invite(request.actor, form.said(about.pk if about else None))
    if made.email and reads.mail_is_set():
        return tell_done(request, f"The letter to {made.name} is on its way to {made.email}.", "/people/invite/")
    link = f"{settings.BASE_ADDRESS}/invitation/{secret}/"
    return render(
        request, "people/hand_over.html", {"name": made.name, "link": link, "until": made.expires_at, "role": made.role}
    )


@page("person.invite")
def take_back_invitation(request: Asked, pk: int) -> HttpResponse:
    if request.method != "POST":
        return HttpResponseRedirect("/people/invite/")
    made = actions.revoke_invitation(request.actor, pk)
    return tell_done(request, f"The invitation of {made.name} opens nothing any more.", "/people/invite/")


# what somebody may do


def _account(request: Asked, pk: int) -> tuple[Person, Account]:
    found = reads.person_at(request.actor, pk)
    account = reads.account_of(found)
    if account is None:
        raise NotFound(f"{found.name} has no account. Invite them first.", remedy=f"/people/invite/?person={pk}")
    return found, account


@page("role.change")
def change_role(request: Asked, pk: int) -> HttpResponse:
    if (ask := prove_first(request)) is not None:
        return ask
    found, account = _account(request, pk)
    form = RolesForm(request.POST or None, initial={"roles": reads.roles_of(found)})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.change_role(request.actor, account.pk, form.cleaned_data["roles"])
            return tell_done(request, f"{found.name} is {_listed(form)} now, and signs in anew.", f"/people/{pk}/")
    own = account.pk == request.actor.account_id
    return answered(request, "people/change_role.html", form, person=found, own=own)


def _listed(form: RolesForm) -> str:
    from catalog.ground import say

    return say.listed(form.cleaned_data["roles"])


@page("role.change")
def give_leave(request: Asked, pk: int) -> HttpResponse:
    if (ask := prove_first(request)) is not None:
        return ask
    found, account = _account(request, pk)
    form = LeaveForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said: dict[str, Any] = form.cleaned_data
            actions.give_leave(request.actor, account.pk, said["act"], until=said["until"], ground=said["ground"])
            return tell_done(request, f"{found.name} may do that now.", f"/people/{pk}/")
    return answered(request, "people/give_leave.html", form, person=found)


@page("role.change")
def end_leave(request: Asked, pk: int, leave: int) -> HttpResponse:
    if (ask := prove_first(request)) is not None:
        return ask
    found, _ = _account(request, pk)
    if request.method != "POST":
        return HttpResponseRedirect(f"/people/{pk}/")
    actions.end_leave(request.actor, leave)
    return tell_done(request, f"That leave of {found.name} is over.", f"/people/{pk}/")


@page("person.suspend")
def close_account(request: Asked, pk: int) -> HttpResponse:
    """Closes an account, or opens it again."""
    if (ask := prove_first(request)) is not None:
        return ask
    found, account = _account(request, pk)
    if request.method == "POST":
        if account.is_active:
            actions.suspend(request.actor, account.pk)
            return tell_done(request, f"The account of {found.name} is closed.", f"/people/{pk}/")
        actions.lift_suspension(request.actor, account.pk)
        return tell_done(request, f"{found.name} can sign in again.", f"/people/{pk}/")
    own = account.pk == request.actor.account_id
    facts = {"person": found, "account": account, "roles": reads.standing_roles(account), "own": own}
    return render(request, "people/close_account.html", facts)


@page("link.make", once_only=False)
def make_link(request: Asked, pk: int) -> HttpResponse:
    """A link to a new password, shown once, to hand over to somebody who does not know theirs any more."""
    if (ask := prove_first(request)) is not None:
        return ask
    found, account = _account(request, pk)
    if request.method == "POST":
        return shown_once(request, lambda: _link_now(request, found, account), f"/people/{pk}/")
    return render(request, "people/make_link.html", {"person": found, "account": account, "press": PressForm()})


def _link_now(request: Asked, found: Person, account: Account) -> HttpResponse:
    made, secret = actions.make_link(request.actor, account.pk)
    link = f"{settings.BASE_ADDRESS}/sign-in/link/{secret}/"
    return render(
        request, "people/hand_over.html", {"name": found.name, "link": link, "until": made.expires_at, "role": ""}
    )
