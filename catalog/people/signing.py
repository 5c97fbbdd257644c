"""Signing in: name and password, what allauth asks of us for second factors and passkeys, and which device this is."""

from __future__ import annotations

import base64
import threading
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.internal.flows.login import perform_login, record_authentication
from allauth.account.models import Login
from allauth.mfa.adapter import DefaultMFAAdapter
from allauth.mfa.base.internal.flows import post_authentication
from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from django.conf import settings
from django.contrib.auth import authenticate
from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.hashers import make_password
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.crypto import salted_hmac
from django.utils.http import url_has_allowed_host_and_scheme

from catalog.ground.collection import collection
from catalog.ground.refusal import Refusal
from catalog.people import slowing
from catalog.people.actions import failures, visits
from catalog.people.models import Account
from catalog.people.reads import account_named

# a password costs 16 MB and a fifth of a second: more than two at once would be a way to flood the door
_TWO_AT_ONCE = threading.BoundedSemaphore(2)

NO_FIT = "This name and this password do not fit together. Write them once more, or ask for a new password."


class Backend(ModelBackend):
    """One look-up and one hashing, whether or not there is such a name."""

    def authenticate(
        self, request: HttpRequest | None, username: str | None = None, password: str | None = None, **rest: Any
    ) -> Account | None:
        if not username or not password:
            return None
        account = account_named(username)
        if account is None:
            make_password(password)
            return None
        return account if account.check_password(password) and account.is_active else None

    def get_user(self, user_id: int) -> Account | None:
        """The account of a session, its person at hand: every page names them."""
        account = Account.objects.select_related("person").filter(pk=user_id).first()
        return account if account and self.user_can_authenticate(account) else None


def proven(request: HttpRequest, said: str, password: str) -> Account:
    """The account that this name or e-mail and password belong to; Refusal with what to do, or 429 with the wait."""
    with _TWO_AT_ONCE:
        corner = slowing.corner_of(request, account_named(said), said)
        slowing.listen(corner)
        account = authenticate(request, username=said, password=password)
        if account is None:
            slowing.refuse_after(failures.note_failure(corner))
            raise Refusal(NO_FIT)
    failures.forget_failures(corner)
    return account  # type: ignore[return-value]


def let_in(request: HttpRequest, account: Account, method: str, to: str = "") -> HttpResponse:
    """Signs the account in, by way of its second factor if it has one, and leads to where it came from."""
    if not account.is_active:
        raise Refusal("This account is closed. Ask the registrar.")
    record_authentication(request, account, method=method)
    return perform_login(request, Login(user=account, redirect_url=to or None))


def let_in_by_passkey(request: HttpRequest, passkey: Any, to: str = "") -> HttpResponse:
    """A passkey that asked who holds it stands for password and second factor."""
    post_authentication(request, passkey, passwordless=True)
    return perform_login(request, Login(user=passkey.user, redirect_url=to or None))


def same_site(path: str) -> bool:
    """Only a path of this house is led to after signing in."""
    return path.startswith("/") and url_has_allowed_host_and_scheme(path, allowed_hosts=None)


class Adapter(DefaultAccountAdapter):
    """Nobody signs up by themselves: people come in by invitation. Words are ours, so allauth's messages are left out."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def is_safe_url(self, url: str | None) -> bool:
        return bool(url) and same_site(str(url))

    def add_message(self, *args: Any, **rest: Any) -> None:
        return None

    def is_reauthentication_required(self, *, app: str, **rest: Any) -> bool:
        """Pages ask for it themselves, by `prove_first`."""
        return False

    def respond_user_inactive(self, request: HttpRequest, user: Any) -> HttpResponse:
        return HttpResponseRedirect("/sign-in/")

    def post_login(self, request: HttpRequest, user: Any, **rest: Any) -> HttpResponse:
        response = super().post_login(request, user, **rest)
        know_device(request, user, response)
        return response


def know_device(request: HttpRequest, account: Account, response: HttpResponse) -> None:
    """Marks the device: it skips the wait that others' wrong tries bring about."""
    cookie = visits.know_device(account, request.COOKIES.get(slowing.KNOWN_COOKIE, ""))
    response.set_cookie(
        slowing.KNOWN_COOKIE, cookie, max_age=365 * 86_400, secure=settings.TLS, httponly=True, samesite="Lax", path="/"
    )


class MFAAdapter(DefaultMFAAdapter):
    """Keys of second factors lie in the database only under the house's key."""

    def encrypt(self, text: str) -> str:
        return _box().encrypt(text.encode()).decode()

    def decrypt(self, encrypted_text: str) -> str:
        try:
            return _box().decrypt(encrypted_text.encode()).decode()
        except InvalidToken as error:
            raise Refusal("The key of this house changed, so this second factor is void. Set it up anew.") from error

    def get_totp_issuer(self) -> str:
        return f"Undercast {collection().code}".strip()

    def get_totp_label(self, user: Any) -> str:
        return str(user.name)

    def get_public_key_credential_rp_entity(self) -> dict[str, str]:
        return super().get_public_key_credential_rp_entity() | {"name": collection().name or "Undercast"}


def _box() -> MultiFernet:
    """Locks with the present key, opens with the earlier ones too."""
    keys = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    made = [salted_hmac("undercast.second-factor", "key", secret=k, algorithm="sha256").digest() for k in keys]
    return MultiFernet([Fernet(base64.urlsafe_b64encode(m)) for m in made])
