"""Columns that several records of this room have."""

from __future__ import annotations

from typing import Any

from django.core.validators import MinValueValidator
from django.db import models

_NOT_NEGATIVE = [MinValueValidator(0)]


def mass() -> models.DecimalField[Any, Any]:
    """Grams, to a milligram, not below zero."""
    return models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True, validators=_NOT_NEGATIVE)


def depth() -> models.DecimalField[Any, Any]:
    """Centimetres below the level that the dig names."""
    return models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
