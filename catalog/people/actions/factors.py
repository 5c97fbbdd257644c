"""Second factors and passkeys: set up, used, taken off. allauth keeps them; the house's key locks what is secret in them."""

from __future__ import annotations

from typing import Any

from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal.auth import TOTP, format_hotp_value, hotp_value, yield_hotp_counters_from_time
from allauth.mfa.utils import decrypt
from allauth.mfa.webauthn.internal.auth import WebAuthn
from django.utils.crypto import constant_time_compare

from catalog.ground.acting import action, tell
from catalog.ground.refusal import Hindered, NotFound
from catalog.ground.roles import Actor
from catalog.people.models import Account
from catalog.people.reads import account_at

_KINDS = Authenticator.Type


@action(None)
def use_code(actor: Actor, account: Account, code: str) -> Authenticator | None:
    """The factor that this code opens: the app's six figures, each step once, or a recovery code, each once. None for others."""
    held = Authenticator.objects.select_for_update(of=("self",)).filter(user_id=account.pk)
    for factor in held.exclude(type=_KINDS.WEBAUTHN).order_by("pk"):
        opens = _step_opens(factor, code) if factor.type == _KINDS.TOTP else factor.wrap().validate_code(code)
        if opens:
            return factor
    return None


def _step_opens(factor: Authenticator, code: str) -> bool:
    step = step_of(decrypt(factor.data["secret"]), code, after=factor.data.get("last_step", 0))
    if step is None:
        return False
    factor.data["last_step"] = step
    factor.save(update_fields=["data"])
    return True


def step_of(secret: str, code: str, *, after: int = -1) -> int | None:
    """The step of RFC 6238 (30 s, one to either side of now) that has this code, if it is later than `after`."""
    for step in yield_hotp_counters_from_time():
        if step > after and constant_time_compare(code, format_hotp_value(hotp_value(secret, step))):
            return int(step)
    return None


@action("self.write")
def add_app(actor: Actor, secret: str, step: int) -> None:
    """The authenticator app that showed the code of `step` for this secret."""
    account = _own(actor)
    if Authenticator.objects.filter(user_id=account.pk, type=_KINDS.TOTP).exists():
        raise Hindered("There is an app already. Take it off first.")
    made = TOTP.activate(account, secret).instance
    made.data["last_step"] = step
    made.save(update_fields=["data"])
    tell(account.name, second_factor="app")


@action("self.write")
def add_passkey(actor: Actor, name: str, credential: dict[str, Any]) -> None:
    account = _own(actor)
    WebAuthn.add(account, name, credential)
    tell(account.name, passkey=name)


@action("self.write")
def take_off_factor(actor: Actor, pk: int) -> None:
    """Takes off the app or a passkey; recovery codes go with the last of them."""
    found = Authenticator.objects.filter(user_id=actor.account_id, pk=pk).exclude(type=_KINDS.RECOVERY_CODES).first()
    if found is None:
        raise NotFound("This is not one of your means to sign in.")
    account = _own(actor)
    others = Authenticator.objects.filter(user_id=account.pk).exclude(pk=pk)
    only_keys = found.type == _KINDS.WEBAUTHN and not account.has_usable_password()
    if only_keys and not others.filter(type=_KINDS.WEBAUTHN).exists():
        raise Hindered("This passkey is your only means to sign in. Write a password first.")
    found.delete()
    if not others.exclude(type=_KINDS.RECOVERY_CODES).exists():
        others.delete()
    tell(account.name, taken_off=found.type)


@action("self.write")
def new_codes(actor: Actor) -> list[str]:
    """Eight new recovery codes in place of the old ones; they are shown now and never again."""
    account = _own(actor)
    held = Authenticator.objects.filter(user_id=account.pk)
    if not held.exclude(type=_KINDS.RECOVERY_CODES).exists():
        raise Hindered("Recovery codes stand in for an app or a passkey. Add one first.")
    held.filter(type=_KINDS.RECOVERY_CODES).delete()
    tell(account.name, recovery_codes="made anew")
    return list(RecoveryCodes.activate(account).generate_codes())


def _own(actor: Actor) -> Account:
    return account_at(actor.account_id or 0)
