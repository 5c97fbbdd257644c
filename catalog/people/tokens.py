"""Tokens at the API's door: who shows one, what it may, and what becomes of one that was shown to others."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.db.models import Q
from django.utils import timezone

from catalog.ground.collection import today
from catalog.ground.limits import network_of
from catalog.ground.problems import refusal_with
from catalog.ground.refusal import Refusal
from catalog.ground.roles import HOUSE, VISITOR, Actor
from catalog.people.actions.tokens import revoke_shown_token
from catalog.people.doorkeeper import actor_for, scope_of
from catalog.people.models import Token
from catalog.people.shown_once import digest_of, is_token, new_token, tokens_in

__all__ = ["actor_of_token", "new_token", "revoke_shown"]

_SEEN_EVERY = timedelta(hours=1)


def actor_of_token(header: str, request: Any) -> Actor:
    """The Actor of `Authorization: Bearer …`. A wrong, an expired and a revoked one get the same 401."""
    kind, _, secret = header.strip().partition(" ")
    token = _standing(secret.strip()) if kind.lower() == "bearer" else None
    if token is None:
        request.actor = VISITOR  # asked again by the log, which must not fail
        raise unknown()
    _note_use(token, request)
    acts, grave = scope_of(token.scope)
    return actor_for(token.account, acts=acts, grave_named=grave, by_token=True, token_id=token.pk)


def unknown() -> Refusal:
    return refusal_with(401, "This token is not known here, or not any more. Ask its owner for a new one.")


def _standing(secret: str) -> Token | None:
    if not is_token(secret):
        return None
    found = Token.objects.select_related("account__person").filter(digest=digest_of(secret)).first()
    if found is None or found.revoked_at or found.expires_on < today() or not found.account.is_active:
        return None
    return found


def _note_use(token: Token, request: Any) -> None:
    """Day and network of the last use: a figure beside the record, written at most hourly."""
    now = timezone.now()
    stale = Q(last_used_at__isnull=True) | Q(last_used_at__lt=now - _SEEN_EVERY)
    if token.last_used_at is None or now - token.last_used_at > _SEEN_EVERY:
        Token.objects.filter(stale, pk=token.pk).update(last_used_at=now, last_used_from=network_of(request))


def revoke_shown(request: Any) -> None:
    """A token in an address was seen by others: it is revoked."""
    for values in request.GET.lists():
        for secret in tokens_in(" ".join(values[1])):
            revoke_shown_token(HOUSE, secret)
