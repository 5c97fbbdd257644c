"""What is kept about signing in goes after its time: 90 days, and 30 for an invitation that is over."""

from __future__ import annotations

from datetime import timedelta

from django.contrib.sessions.models import Session
from django.db.models import Q
from django.utils import timezone

from catalog.ground.acting import action
from catalog.ground.roles import Actor
from catalog.people.models import Failure, Invitation, KnownDevice, Link, Visit

SIGN_IN_LOG = timedelta(days=90)
OVER_INVITATIONS = timedelta(days=30)
UNSEEN_DEVICE = timedelta(days=365)


@action(None)
def forget_old(actor: Actor) -> None:
    """Ended sessions, old counters, unseen devices, used links and invitations, with the history of the last two."""
    now = timezone.now()
    Session.objects.filter(expire_date__lt=now).delete()
    Visit.objects.exclude(session_key__in=Session.objects.values("session_key")).delete()
    Failure.objects.filter(last_at__lt=now - SIGN_IN_LOG).delete()
    KnownDevice.objects.filter(at__lt=now - UNSEEN_DEVICE).delete()
    over = Q(used_at__lt=now - SIGN_IN_LOG) | Q(expires_at__lt=now - SIGN_IN_LOG)
    _with_history(Link, list(Link.objects.filter(over).values_list("pk", flat=True)))
    month = now - OVER_INVITATIONS
    ended = Q(used_at__lt=month) | Q(revoked_at__lt=month) | Q(expires_at__lt=month)
    _with_history(Invitation, list(Invitation.objects.filter(ended).values_list("pk", flat=True)))


def _with_history(kind: type[Link] | type[Invitation], pks: list[int]) -> None:
    kind.objects.filter(pk__in=pks).delete()
    kind.history.filter(id__in=pks).delete()
