"""What media ask of the rooms above."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet

from catalog.ground.asks import Ask
from catalog.ground.refusal import Reason

# each answer is a queryset of keys of photographs
shown_to_visitors: Ask[[], QuerySet[Any, Any]] = Ask("which photographs may a visitor see?")
# asked before a mark is taken off its photograph
holds_mark: Ask[[Any], Reason] = Ask("what of yours rests on this mark?")
