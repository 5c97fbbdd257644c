"""One-off links: the first start, one sign-in, a new password. Only their fingerprints are kept."""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.utils import timezone

from catalog.ground.acting import action, locked, store, tell
from catalog.ground.refusal import Hindered, NotFound
from catalog.ground.roles import Actor
from catalog.people import reads, rules
from catalog.people.actions.own import check_password
from catalog.people.actions.visits import end_all_visits
from catalog.people.models import Account, Link
from catalog.people.shown_once import derived_link, digest_of, new_link

GONE = "This link is not one of ours, or it was used, or its time is over."


@action("link.make")
def make_link(actor: Actor, account_pk: int) -> tuple[Link, str]:
    """A link to a new password for somebody else, to hand over where no mail reaches them."""
    account = locked(Account, pk=account_pk)
    if not account.is_active:
        raise Hindered(f"The account of {account.name} is closed. Open it again first.")
    tell(account.name, link="a new password")
    return _made("reset", account, rules.RESET_MINUTES, new_link())


@action(None)
def print_link(actor: Actor, kind: str, account: Account | None) -> tuple[Link, str]:
    """For who sits at the machine: the first start while there is no account, else one sign-in."""
    if kind == "start" and reads.anybody():
        raise Hindered("The register is open already. Take a sign-in link instead.")
    return _made(kind, account, rules.START_MINUTES, new_link())


@action(None)
def make_reset(actor: Actor, account: Account, about: str) -> tuple[Link, str]:
    """The link of a letter; made again the same for the same letter (`about`)."""
    secret = derived_link(settings.SECRET_KEY, f"reset {account.uid} {about}")
    there = Link.objects.filter(digest=digest_of(secret)).first()
    return (there, secret) if there else _made("reset", account, rules.RESET_MINUTES, secret)


def _made(kind: str, account: Account | None, minutes: int, secret: str) -> tuple[Link, str]:
    """Voids what was made before of this kind and for this account."""
    now = timezone.now()
    for old in Link.objects.filter(kind=kind, account=account, used_at=None, expires_at__gt=now):
        old.expires_at = now
        store(old)
    link = Link(kind=kind, account=account, digest=digest_of(secret), expires_at=now + timedelta(minutes=minutes))
    return store(link), secret


def open_link(secret: str) -> Link | None:
    """The link that this secret still opens. Looking changes nothing: mail scanners open links."""
    still = Link.objects.filter(used_at=None, expires_at__gt=timezone.now()).select_related("account__person")
    link = still.filter(digest=digest_of(secret)).first()
    if link is None or (link.kind == "start" and reads.anybody()):
        return None
    return None if link.account and not link.account.is_active else link


@action(None)
def use_link(actor: Actor, secret: str) -> Link:
    """Burns the link: it opens once."""
    link = open_link(secret)
    if link is None:
        raise NotFound(GONE)
    link = locked(Link, pk=link.pk)
    if link.used_at:
        raise NotFound(GONE)
    link.used_at = timezone.now()
    return store(link)


@action(None)
def set_password_by_link(actor: Actor, secret: str, password: str) -> Account:
    """Burns a link to a new password, sets it, and ends every session of that account."""
    link = open_link(secret)
    if link is None or link.kind != "reset" or link.account is None:
        raise NotFound(GONE)
    check_password(password, link.account)
    link = use_link(actor, secret)
    account = locked(Account, pk=link.account_id)
    account.set_password(password)
    store(account)
    end_all_visits(account)
    return account


@action(None)
def ask_reset(actor: Actor, said: str) -> None:
    """Somebody does not know a password any more. The same is done, and said, for a name that nobody has."""
    from catalog.people.tasks import send_reset

    account = reads.account_named(said)
    known = account is not None and account.is_active and bool(account.email)
    send_reset.enqueue(account.pk if account and known else 0, timezone.now().isoformat())
