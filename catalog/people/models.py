"""People, their accounts, and the means by which they and their tools come in."""

from __future__ import annotations

from typing import ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import Q

from catalog.ground.records import Record, new_uid
from catalog.ground.roles import ROLES
from catalog.ground.search import Found

__all__ = [
    "Account",
    "Contact",
    "Failure",
    "Invitation",
    "KnownDevice",
    "Leave",
    "Link",
    "Person",
    "Role",
    "Token",
    "Visit",
]


class Person(Record):
    """A natural person or a body, inside or outside, that we deal with."""

    KINDS = [("person", "a person"), ("body", "a body")]
    kind = models.CharField(max_length=10, choices=KINDS, default="person")
    name = models.CharField(max_length=200)
    town = models.CharField(max_length=120, blank=True)
    does = models.CharField(max_length=200, blank=True)
    orcid = models.CharField(max_length=60, blank=True)
    ror = models.CharField(max_length=60, blank=True)
    note = models.TextField(blank=True)
    # pages for visitors and exports name only who agreed
    may_be_named = models.BooleanField(default=False)
    is_us = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=["person", "body"]),
                name="person_kind",
                violation_error_message="A person is a person or a body.",
            ),
            models.UniqueConstraint(
                fields=["is_us"],
                condition=Q(is_us=True),
                name="person_one_us",
                violation_error_message="We are one body.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def search_entries(self) -> list[Found]:
        return [
            Found(
                "person",
                self.pk,
                self.name,
                f"/people/{self.pk}/",
                hint=self.does or self.town,
                words=self.town,
                notes=f"{self.does} {self.note}",
            )
        ]


class Contact(Record):
    """How to reach a person: for the registrar and the keeper only."""

    person = models.OneToOneField(Person, models.CASCADE, related_name="contact")
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=60, blank=True)
    address = models.TextField(blank=True)


class AccountManager(BaseUserManager["Account"]):
    """Looks accounts up by name, whatever the case."""

    def get_by_natural_key(self, username: str | None) -> Account:
        return self.get(name__iexact=username)


class Account(AbstractBaseUser):
    """Someone who can sign in. Belongs to a person; what they may do stands in Role and Leave."""

    uid = models.UUIDField(default=new_uid, unique=True, editable=False)
    name = models.CharField(max_length=150, unique=True)
    email = models.EmailField(blank=True)
    person = models.OneToOneField(Person, models.PROTECT, related_name="account")
    is_active = models.BooleanField(default=True)
    light = models.BooleanField(default=False)
    single_keys = models.BooleanField(default=True)
    decimal_comma = models.BooleanField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    objects = AccountManager()
    USERNAME_FIELD = "name"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    def __str__(self) -> str:
        return self.name

    # allauth asks these; nothing in Undercast grants anything by them
    is_staff = False
    is_superuser = False

    def get_full_name(self) -> str:
        return self.name

    def has_perm(self, perm: str, obj: object = None) -> bool:
        return False

    def has_module_perms(self, app_label: str) -> bool:
        return False


class Role(Record):
    """A role that an account holds, from when to when, given by whom."""

    account = models.ForeignKey(Account, models.PROTECT, related_name="roles_held")
    role = models.CharField(max_length=20, choices=[(r, r) for r in ROLES])
    since = models.DateField()
    until = models.DateField(null=True, blank=True)
    given_by = models.ForeignKey(Account, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["account", "role"],
                condition=Q(until__isnull=True),
                name="role_once",
                violation_error_message="This role is held already.",
            )
        ]


class Leave(Record):
    """One act more for one person, with an end."""

    account = models.ForeignKey(Account, models.PROTECT, related_name="leaves")
    act = models.CharField(max_length=60)
    until = models.DateField(null=True, blank=True)
    ground = models.CharField(max_length=300, blank=True)


class Token(Record):
    """What a tool or a hand shows instead of a password. Only its SHA-256 is kept."""

    KINDS = [("tool", "an instrument"), ("hand", "a person's own")]
    account = models.ForeignKey(Account, models.PROTECT, related_name="tokens")
    kind = models.CharField(max_length=6, choices=KINDS)
    called = models.CharField(max_length=120)
    instrument = models.CharField(max_length=120, blank=True)
    digest = models.CharField(max_length=64, unique=True)
    begins = models.CharField(max_length=8)
    scope = models.TextField(default="all")
    expires_on = models.DateField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_used_at = models.DateTimeField(null=True, blank=True)
    last_used_from = models.CharField(max_length=60, blank=True)

    def __str__(self) -> str:
        return self.called


class Invitation(Record):
    """A link by which somebody becomes an account with a role."""

    digest = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=150)
    email = models.EmailField(blank=True)
    role = models.CharField(max_length=20, choices=[(r, r) for r in ROLES])
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)


class Link(Record):
    """A one-off link: the first start, a sign-in, a new password."""

    KINDS = [("start", "the first start"), ("sign in", "sign in once"), ("reset", "a new password")]
    kind = models.CharField(max_length=10, choices=KINDS)
    digest = models.CharField(max_length=64, unique=True)
    account = models.ForeignKey(Account, models.PROTECT, null=True, blank=True, related_name="links")
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)


class Failure(models.Model):
    """Wrong sign-ins from one corner: a hash of account and network, how many, since when, when the next is listened to."""

    pair = models.CharField(max_length=64, unique=True)
    n = models.PositiveIntegerField(default=0)
    first_at = models.DateTimeField()
    last_at = models.DateTimeField()


class KnownDevice(models.Model):
    """A device from which this account signed in before."""

    account = models.ForeignKey(Account, models.CASCADE, related_name="devices")
    digest = models.CharField(max_length=64, unique=True)
    at = models.DateTimeField()


class Visit(models.Model):
    """A session that is open: on which device, from where, last seen when. Ended by its person at any time."""

    account = models.ForeignKey(Account, models.CASCADE, related_name="visits")
    session_key = models.CharField(max_length=40, unique=True)
    device = models.CharField(max_length=200, blank=True)
    network = models.CharField(max_length=60, blank=True)
    began_at = models.DateTimeField()
    last_seen_at = models.DateTimeField()
