"""Tokens for tools and hands: given, shown once, revoked."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from catalog.ground.acting import action, locked, store, tell
from catalog.ground.collection import today
from catalog.ground.refusal import NotAllowed, NotFound, Reason, Refusal, refuse_if
from catalog.ground.roles import ACTS, HEADS, Actor, may
from catalog.people import rules
from catalog.people.models import Account, Token
from catalog.people.shown_once import KINDS, digest_of, new_token


@action("token.make")
def issue_token(
    actor: Actor,
    *,
    called: str,
    kind: str = "hand",
    scope: str = "all",
    account_pk: int | None = None,
    instrument: str = "",
) -> tuple[Token, str]:
    """A token and its secret, which nobody sees again. For somebody else: the registrar and the keeper."""
    from catalog.people.doorkeeper import actor_for

    account = locked(Account, pk=account_pk or actor.account_id)
    if account.pk != actor.account_id and not actor.roles & HEADS:
        raise NotAllowed("Only a registrar or the keeper may give a token to somebody else.")
    owner = actor_for(account)
    refuse_if(
        _hinders(called, kind, instrument) + rules.hinders_scope(scope, [a for a in ACTS if may(owner, a)]), Refusal
    )
    secret, digest, begins = new_token(kind)
    token = Token(account=account, kind=kind, called=called.strip(), instrument=instrument.strip())
    token.digest, token.begins, token.scope = digest, begins, " ".join(rules.scope_words(scope))
    token.expires_on = today() + timedelta(days=rules.TOKEN_DAYS[kind])
    tell(token.called, until=token.expires_on)
    return store(token), secret


def _hinders(called: str, kind: str, instrument: str) -> list[Reason]:
    reasons = []
    if kind not in KINDS:
        reasons.append(Reason("Say whether an instrument or a person uses it.", "kind", said=kind))
    if not called.strip() or len(called) > 120:
        reasons.append(Reason("Say in a few words what the token is for, such as Bal-2 in the workshop.", "called"))
    if len(instrument) > 120:
        reasons.append(Reason(f"Shorten this to 120 letters; it has {len(instrument)}.", "instrument"))
    return reasons


@action("token.revoke")
def revoke_token(actor: Actor, pk: int) -> Token:
    """Dies with the next request. One's own, or anybody's for the registrar and the keeper."""
    token = locked(Token, pk=pk)
    if token.account_id != actor.account_id and not actor.roles & HEADS:
        raise NotFound("This token is not yours.")
    return _revoked(token)


@action(None)
def revoke_shown_token(actor: Actor, secret: str) -> Token | None:
    """A token that was seen where others see it is revoked by the house."""
    found = Token.objects.filter(digest=digest_of(secret)).first()
    return _revoked(locked(Token, pk=found.pk)) if found else None


def _revoked(token: Token) -> Token:
    if token.revoked_at is None:
        token.revoked_at = timezone.now()
        tell(token.called, revoked=True)
    return store(token)
