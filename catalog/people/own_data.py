"""What is held about an account, for its owner: everything but the fingerprints of secrets."""

from __future__ import annotations

from typing import Any

from django.db import models

from catalog.people.models import Account, Contact
from catalog.people.reads import factors_of

_NOT_TOLD = {"password", "digest", "session_key", "created_by", "changed_by", "version"}


def held_about(account: Account) -> dict[str, Any]:
    """Person, contact, account, roles, leaves, tokens, sessions, devices, second factors: as plain values."""
    held = factors_of(account)
    return {
        "account": _plain(account),
        "person": _plain(account.person),
        "contact": [_plain(c) for c in Contact.objects.filter(person=account.person)],
        "roles": [_plain(r) for r in account.roles_held.order_by("id")],
        "leaves": [_plain(x) for x in account.leaves.order_by("id")],
        "tokens": [_plain(t) for t in account.tokens.order_by("id")],
        "sessions": [_plain(v) for v in account.visits.order_by("id")],
        "devices": [d.at for d in account.devices.order_by("id")],
        "second_factors": [
            {"kind": f.type, "since": f.created_at, "last_used": f.last_used_at}
            for f in [held["app"], *held["passkeys"]]
            if f is not None
        ],
    }


def _plain(record: models.Model) -> dict[str, Any]:
    fields = [f for f in record._meta.concrete_fields if f.name not in _NOT_TOLD]
    return {f.name: getattr(record, f.attname) for f in fields}
