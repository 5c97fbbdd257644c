"""Names of animals, as far as determinations and permits need them."""

from __future__ import annotations

from django.db import models

from catalog.ground.records import Record
from catalog.ground.search import Found

__all__ = ["Taxon"]


class Taxon(Record):
    """One name: scientific, with its author; the common name; what it belongs to."""

    RANKS = [
        ("species", "species"),
        ("genus", "genus"),
        ("family", "family"),
        ("order", "order"),
        ("class", "class"),
        ("phylum", "phylum"),
    ]
    name = models.CharField(max_length=200)
    author = models.CharField(max_length=200, blank=True)
    rank = models.CharField(max_length=20, choices=RANKS, default="species")
    common_name = models.CharField(max_length=200, blank=True)
    group = models.CharField(max_length=80, blank=True)
    kingdom = models.CharField(max_length=80, default="Animalia")
    phylum = models.CharField(max_length=80, blank=True)
    class_name = models.CharField(max_length=80, blank=True)
    order = models.CharField(max_length=80, blank=True)
    family = models.CharField(max_length=80, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["name", "author"], name="taxon_once", violation_error_message="This name is there already."
            )
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def href(self) -> str:
        return f"/taxa/{self.pk}/"

    def search_entries(self) -> list[Found]:
        title = f"{self.common_name}, {self.name}" if self.common_name else self.name
        return [
            Found(
                "taxon",
                self.pk,
                title,
                self.href,
                hint=self.family,
                words=f"{self.group} {self.family} {self.author}",
            )
        ]
