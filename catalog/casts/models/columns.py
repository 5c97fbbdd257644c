"""Columns that casts, pieces, faces and crumb lots share."""

from __future__ import annotations

from typing import Any

from django.core.validators import MinValueValidator
from django.db import models

MASS_STATES = [("wet", "wet"), ("air dry", "air dry"), ("constant", "constant")]


def mm_column() -> models.DecimalField[Any, Any]:
    return models.DecimalField(max_digits=8, decimal_places=1, null=True, blank=True, validators=[MinValueValidator(0)])


def mass_column(places: int = 3) -> models.DecimalField[Any, Any]:
    return models.DecimalField(
        max_digits=12, decimal_places=places, null=True, blank=True, validators=[MinValueValidator(0)]
    )
