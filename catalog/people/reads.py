"""Who there is, who can sign in, and what stands open about them."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib.auth.hashers import is_password_usable
from django.db.models import Prefetch, Q, QuerySet
from django.utils import timezone

from catalog.ground.collection import today
from catalog.ground.ids import as_uid
from catalog.ground.refusal import NotFound
from catalog.ground.roles import HEADS, KEEPER, REGISTRAR, Actor
from catalog.ground.sight import visible_to
from catalog.people.models import Account, Contact, Invitation, Leave, Person, Role, Token, Visit

STANDING = Q(until__isnull=True)


# people and bodies


def people(reader: Actor) -> QuerySet[Person]:
    """People and bodies with their accounts and standing roles, in a fixed number of queries."""
    held = Prefetch("account__roles_held", Role.objects.filter(STANDING).order_by("id"), to_attr="standing")
    return visible_to(reader, Person.objects.select_related("account").prefetch_related(held))


def person_at(reader: Actor, pk: int) -> Person:
    person = people(reader).filter(pk=pk).first()
    if person is None:
        raise NotFound("This is not one of ours, or not for your eyes.")
    return person


def contact_of(reader: Actor, person: Person) -> Contact | None:
    return visible_to(reader, Contact.objects.filter(person=person)).first()


def person_named(words: str) -> Person | None:
    """The one person or body of this name, whatever its case; None when there is none, or more than one."""
    found = list(Person.objects.filter(name__iexact=" ".join(words.split()))[:2])
    return found[0] if len(found) == 1 else None


def person_meant(words: str) -> Person | None:
    """The person that a chooser or a field means: by key, public id or name. None where it is only words."""
    said = " ".join(words.split())
    if said.isascii() and said.isdigit() and len(said) < 19:
        return Person.objects.filter(pk=int(said)).first()
    if uid := as_uid(said):
        return Person.objects.filter(uid=uid).first()
    return person_named(said)


def us() -> Person:
    """Our own body."""
    ours = Person.objects.filter(is_us=True).first()
    if ours is None:
        raise NotFound("The collection has no name yet. The welcome asks for it.")
    return ours


def roles_of(person: Person) -> list[str]:
    """Standing roles of a person that `people` read, without a query more."""
    account = account_of(person)
    if account is None or not account.is_active:
        return []
    there = getattr(account, "standing", None)
    return [r.role for r in (there if there is not None else account.roles_held.filter(STANDING).order_by("id"))]


def account_of(person: Person) -> Account | None:
    return getattr(person, "account", None)


# accounts


def account_named(words: str) -> Account | None:
    """By name whatever the case, or by e-mail where one account only has it. One query."""
    said = " ".join(words.split())
    found = list(Account.objects.filter(Q(name__iexact=said) | Q(email__iexact=said)).order_by("pk")[:3])
    named = [a for a in found if a.name.casefold() == said.casefold()]
    if named:
        return named[0]
    return found[0] if said and len(found) == 1 else None


def account_at(pk: int) -> Account:
    account = Account.objects.select_related("person").filter(pk=pk).first()
    if account is None:
        raise NotFound("There is no such account.")
    return account


def standing_roles(account: Account) -> list[str]:
    return list(account.roles_held.filter(STANDING).order_by("id").values_list("role", flat=True))


def leaves_of(account: Account) -> list[Leave]:
    still = Q(until__isnull=True) | Q(until__gte=today())
    return list(account.leaves.filter(still).order_by("act"))


def others_left(account_pk: int) -> dict[str, int]:
    """How many others can sign in and are registrar, and keeper."""
    rows = Role.objects.filter(STANDING, role__in=HEADS, account__is_active=True).exclude(account_id=account_pk)
    roles = list(rows.values_list("role", flat=True))
    return {role: roles.count(role) for role in HEADS}


def n_heads() -> int:
    """How many people are registrar, keeper or both."""
    rows = Role.objects.filter(STANDING, role__in=HEADS, account__is_active=True)
    return rows.values("account_id").distinct().count()


def first_registrar() -> Account | None:
    rows = Role.objects.filter(STANDING, role=REGISTRAR, account__is_active=True).select_related("account__person")
    first = rows.order_by("id").first()
    return first.account if first else None


def first_keeper_name() -> str:
    rows = Role.objects.filter(STANDING, role=KEEPER, account__is_active=True).select_related("account__person")
    first = rows.order_by("id").first()
    return first.account.person.name if first else ""


def anybody() -> bool:
    """There is an account."""
    return Account.objects.exists()


def somebody_can_sign_in() -> bool:
    """An open account has a password or a passkey."""
    from allauth.mfa.models import Authenticator

    hashes = Account.objects.filter(is_active=True).values_list("password", flat=True)
    if any(is_password_usable(h) and h for h in hashes):
        return True
    return Authenticator.objects.filter(type=Authenticator.Type.WEBAUTHN, user__is_active=True).exists()


# what stands open


def open_invitations(reader: Actor) -> QuerySet[Invitation]:
    still = Invitation.objects.filter(used_at__isnull=True, revoked_at__isnull=True, expires_at__gt=timezone.now())
    return visible_to(reader, still.select_related("created_by__person").order_by("expires_at"))


def tokens_of(reader: Actor) -> QuerySet[Token]:
    """Tokens that still open something: one's own, or everybody's for who may revoke them."""
    still = Token.objects.filter(revoked_at__isnull=True, expires_on__gte=today())
    return visible_to(reader, still.select_related("account__person").order_by("expires_on", "id"))


def visits_of(reader: Actor) -> QuerySet[Visit]:
    return visible_to(reader, Visit.objects.order_by("-last_seen_at"))


# second factors


def factors_of(account: Account) -> dict[str, Any]:
    """`app`: the authenticator app or None; `passkeys`: a list; `codes`: how many recovery codes are left, None without any."""
    from allauth.mfa.models import Authenticator

    rows = list(Authenticator.objects.filter(user_id=account.pk).order_by("created_at"))
    kinds = Authenticator.Type
    codes = next((r for r in rows if r.type == kinds.RECOVERY_CODES), None)
    return {
        "app": next((r for r in rows if r.type == kinds.TOTP), None),
        "passkeys": [r for r in rows if r.type == kinds.WEBAUTHN],
        "codes": len(codes.wrap().get_unused_codes()) if codes else None,
    }


def has_second_factor(account: Account) -> bool:
    from allauth.mfa.models import Authenticator

    kinds = Authenticator.Type
    return Authenticator.objects.filter(user_id=account.pk, type__in=[kinds.TOTP, kinds.WEBAUTHN]).exists()


def mail_is_set() -> bool:
    """A mail server is named; without one, links are handed over by people."""
    return not settings.EMAIL_BACKEND.endswith("dummy.EmailBackend")
