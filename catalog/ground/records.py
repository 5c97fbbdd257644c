"""The two bases: a Record changes and keeps its history; a Fact never changes."""

from __future__ import annotations

import uuid
from typing import Any

from django.conf import settings
from django.db import models
from simple_history.models import HistoricalRecords

from catalog.ground.ids import uuid7
from catalog.ground.running import acting_account_id


def _who(instance: Any, request: Any = None, **kwargs: Any) -> Any:
    from django.contrib.auth import get_user_model

    pk = acting_account_id()
    return get_user_model()(pk=pk) if pk else None


def new_uid() -> uuid.UUID:
    return uuid7()


class Record(models.Model):
    """Something that changes: version for the one who saves second, a history row for each save."""

    uid = models.UUIDField(default=new_uid, unique=True, editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)
    created_at = models.DateTimeField(editable=False)
    created_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )
    changed_at = models.DateTimeField(editable=False)
    changed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )
    history = HistoricalRecords(inherit=True, get_user=_who)

    class Meta:
        abstract = True


class Fact(models.Model):
    """Something that happened and stays so. `replaces` on a fact points at what it corrects. Sealed by a guard."""

    uid = models.UUIDField(default=new_uid, unique=True, editable=False)
    written_at = models.DateTimeField(editable=False)
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )

    class Meta:
        abstract = True
