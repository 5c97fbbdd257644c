"""What everybody decides for themselves: their password and how the pages look to them."""

from __future__ import annotations

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.validators import validate_email

from catalog.ground.acting import action, locked, store, tell
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.people import rules
from catalog.people.actions.visits import end_all_visits
from catalog.people.models import Account
from catalog.people.said import OwnSettingsSaid


def check_password(password: str, account: Account, field: str = "password") -> None:
    """Long enough, not a common one, not the account's own words; nothing else is asked of it."""
    if len(password) > rules.PASSWORD_MOST:
        raise Refusal(Reason("A password has at most 1 000 letters.", field))
    try:
        validate_password(password, account)
    except ValidationError as error:
        raise Refusal(*[Reason(sentence, field) for sentence in error.messages]) from error


@action("self.write")
def change_password(actor: Actor, password: str, *, session_key: str = "") -> Account:
    """A new password of one's own; every other session ends."""
    account = locked(Account, pk=actor.account_id)
    check_password(password, account)
    account.set_password(password)
    store(account)
    end_all_visits(account, but=session_key)
    return account


@action("self.write")
def keep_own_settings(actor: Actor, said: OwnSettingsSaid) -> Account:
    account = locked(Account, pk=actor.account_id)
    email = said.email.strip().lower()
    if email:
        try:
            validate_email(email)
        except ValidationError:
            sentence = "Write the address as it stands on a letter, such as imke@station.example."
            raise Refusal(Reason(sentence, "email", said=said.email)) from None
    account.email, account.light, account.single_keys = email, said.light, said.single_keys
    account.decimal_comma = said.decimal_comma
    return store(account)


@action(None)
def forget_second_factor(actor: Actor, account: Account) -> int:
    """For who sits at the machine, when somebody lost phone and codes: passkeys, app and codes go. Returns how many."""
    from allauth.mfa.models import Authenticator

    gone, _ = Authenticator.objects.filter(user_id=account.pk).delete()
    end_all_visits(account)
    tell(account.name, second_factor="forgotten")
    return gone
