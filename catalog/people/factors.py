"""The talk with devices and apps at the door: what is asked of them, and whether their answer is right."""

from __future__ import annotations

from typing import Any

from allauth.mfa.base.internal.flows import post_authentication
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import SECRET_SESSION_KEY, generate_totp_secret
from allauth.mfa.utils import decrypt, encrypt
from allauth.mfa.webauthn.internal import auth as webauthn
from django.core.exceptions import ValidationError

from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import HOUSE
from catalog.people import slowing
from catalog.people.actions import failures
from catalog.people.actions.factors import use_code
from catalog.people.models import Account

_BROKEN = (ValidationError, ValueError, TypeError, KeyError, AttributeError)
NOT_THIS_KEY = "This passkey does not belong here, or it waited too long. Try it once more, or use your password."


def right_code(request: Any, account: Account, code: str) -> Authenticator:
    """The factor that this code opens. Wrong codes wait as wrong passwords do."""
    corner = slowing.corner_of(request, account, account.name)
    slowing.listen(corner)
    factor = use_code(HOUSE, account, code)
    if factor is None:
        slowing.refuse_after(failures.note_failure(corner))
        raise Refusal(Reason("This is not the code of this half minute. Write the one that the app shows now.", "code"))
    failures.forget_failures(corner)
    return factor


# passkeys


def options(account: Account | None) -> dict[str, Any]:
    """What the device is asked to sign: for this account's passkeys, or whichever it holds for us."""
    return dict(webauthn.begin_authentication(account))


def right_passkey(answer: dict[str, Any], account: Account | None = None) -> Authenticator:
    """The passkey that signed; its account where none is named is taken from the answer."""
    try:
        webauthn.parse_authentication_response(answer)
        owner = account or webauthn.extract_user_from_response(answer)
        found: Authenticator = webauthn.complete_authentication(owner, answer)
    except _BROKEN as error:
        raise Refusal(NOT_THIS_KEY) from error
    if not owner.is_active:
        raise Refusal(NOT_THIS_KEY)
    found.user = owner
    return found


def creation_options(account: Account) -> dict[str, Any]:
    """What the device is asked to make: a passkey that it finds by itself and opens for its owner only."""
    return dict(webauthn.begin_registration(account, True))


def made_passkey(answer: dict[str, Any]) -> dict[str, Any]:
    """The device's new passkey, checked; what is kept of it."""
    try:
        webauthn.parse_registration_response(answer)
        verified = webauthn.complete_registration(answer).is_user_verified()
    except _BROKEN as error:
        raise Refusal("The device's answer cannot be read. Try it once more.") from error
    if not verified:
        raise Refusal("The device did not ask who holds it. Set a PIN or a fingerprint on it, then try once more.")
    return answer


def given(request: Any, factor: Authenticator, *, again: bool = False, alone: bool = False) -> None:
    """Notes in the session that this factor was shown: `again` before a grave act, `alone` in place of a password."""
    post_authentication(request, factor, reauthenticated=again, passwordless=alone)


# the app


def app_secret(request: Any) -> str:
    """The secret of the app that is being set up; locked in the session."""
    kept = request.session.get(SECRET_SESSION_KEY)
    if kept:
        return str(decrypt(kept))
    secret = str(generate_totp_secret())
    request.session[SECRET_SESSION_KEY] = encrypt(secret)
    return secret


def forget_app_secret(request: Any) -> None:
    request.session.pop(SECRET_SESSION_KEY, None)
