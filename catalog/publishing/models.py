"""The visitor's page: its story, picture and place in words. Made of what is chosen for it, never of the whole record."""

from __future__ import annotations

from django.db import models

from catalog.casts.models import Cast
from catalog.ground.records import Record
from catalog.media.models import Photograph

__all__ = ["PublicPage"]


class PublicPage(Record):
    """One cast as visitors read it. `place_words` and the generalised cell are stored at the write."""

    cast = models.OneToOneField(Cast, models.PROTECT, related_name="public_page")
    title = models.CharField(max_length=200)
    story = models.TextField(blank=True)
    seen_at = models.CharField(max_length=300, blank=True)
    picture = models.ForeignKey(Photograph, models.PROTECT, null=True, blank=True, related_name="+")
    place_words = models.CharField(max_length=300, blank=True)
    lat = models.DecimalField(max_digits=9, decimal_places=5, null=True, blank=True)
    lon = models.DecimalField(max_digits=9, decimal_places=5, null=True, blank=True)
    within_m = models.PositiveIntegerField(null=True, blank=True)
    # side of the cell whose centre the point is; none where the place is shown as it is
    cell_deg = models.DecimalField(max_digits=6, decimal_places=3, null=True, blank=True)
    licence = models.CharField(max_length=120, blank=True)
    withdrawn_on = models.DateField(null=True, blank=True)
