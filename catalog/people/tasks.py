"""Letters that leave the house after the act is written: sent at least once, each with one Message-ID of its own."""

from __future__ import annotations

import logging
from datetime import datetime, timedelta
from smtplib import SMTPException
from urllib.parse import urlsplit

from django.conf import settings
from django.core.mail import EmailMessage
from django.template.loader import render_to_string
from django.utils import timezone
from django_tasks import task

from catalog.ground import say
from catalog.ground.collection import collection, local
from catalog.ground.roles import HOUSE
from catalog.people import rules
from catalog.people.models import Account, Invitation, Link

log = logging.getLogger("undercast")

_MOST_TRIES = 8
_FEW_MINUTES = timedelta(minutes=5)


@task()
def send_invitation(pk: int, tried: int = 0) -> None:
    from catalog.people.actions.accounts import invitation_secret

    invitation = Invitation.objects.select_related("created_by__person").filter(pk=pk).first()
    if invitation is None or invitation.used_at or invitation.revoked_at or invitation.expires_at < timezone.now():
        return
    by = invitation.created_by.person.name if invitation.created_by else ""
    facts = {
        "name": invitation.name,
        "role": invitation.role,
        "by": by,
        "until": invitation.expires_at,
        "link": f"{settings.BASE_ADDRESS}/invitation/{invitation_secret(invitation)}/",
    }
    until = say.day(local(invitation.expires_at).date())
    subject = f"{_ours()}: come in as {invitation.role} by {until}"
    if not _sent("invitation", invitation.email, subject, facts, f"invitation-{invitation.uid}"):
        _again(send_invitation, tried, pk)


@task()
def send_reset(account_pk: int, asked_at: str, tried: int = 0) -> None:
    """`account_pk` 0: the name that was given is nobody's, and nothing is sent."""
    from catalog.people.actions.links import make_reset

    account = Account.objects.select_related("person").filter(pk=account_pk, is_active=True).first()
    if account is None or not account.email or _just_sent(account, asked_at):
        return
    link, secret = make_reset(HOUSE, account, asked_at)
    if link.used_at:
        return
    facts = {
        "name": account.person.name,
        "link": f"{settings.BASE_ADDRESS}/sign-in/link/{secret}/",
        "minutes": rules.RESET_MINUTES,
    }
    if not _sent("reset", account.email, f"{_ours()}: a new password within 30 minutes", facts, f"reset-{link.uid}"):
        _again(send_reset, tried, account_pk, asked_at)


@task()
def send_warning(account_pk: int, at: str, tried: int = 0) -> None:
    """Tells somebody once that others try passwords for their account."""
    account = Account.objects.select_related("person").filter(pk=account_pk).first()
    if account is None or not account.email:
        return
    facts = {"name": account.person.name, "at": datetime.fromisoformat(at), "n": rules.ACCOUNT_MOST_AN_HOUR}
    subject = f"{_ours()}: wrong passwords were tried for your account"
    if not _sent("warning", account.email, subject, facts, f"warning-{account.uid}-{at[:13]}"):
        _again(send_warning, tried, account_pk, at)


def _just_sent(account: Account, asked_at: str) -> bool:
    """A letter went out in the five minutes before this one was asked for."""
    asked = datetime.fromisoformat(asked_at)
    before = Link.objects.filter(kind="reset", account=account, created_at__lt=asked)
    return before.filter(created_at__gt=asked - _FEW_MINUTES, used_at=None).exists()


def _ours() -> str:
    return " ".join((collection().name or "Undercast").split())


def _sent(template: str, to: str, subject: str, facts: dict[str, object], about: str) -> bool:
    host = urlsplit(settings.BASE_ADDRESS).hostname
    body = render_to_string(f"people/mail/{template}.txt", {"collection": collection(), **facts})
    letter = EmailMessage(
        subject.replace(say.FIRM, " "), body, to=[to], headers={"Message-ID": f"<{about.replace(':', '')}@{host}>"}
    )
    try:
        letter.send()
    except (OSError, SMTPException):
        log.warning("a letter (%s) could not be sent; it is tried again", template)
        return False
    return True


def _again(which: object, tried: int, *what: object) -> None:
    """Tried again after 1, 2, 4 … minutes, some two hours in all."""
    if tried + 1 < _MOST_TRIES:
        later = timezone.now() + timedelta(minutes=2**tried)
        which.using(run_after=later).enqueue(*what, tried=tried + 1)  # type: ignore[attr-defined]
