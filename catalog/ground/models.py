"""The frame's own records: the collection's decisions, papers as they were sent, counters, kept answers, jobs, search."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from catalog.ground.records import Fact, Record

__all__ = [
    "Answered",
    "Collection",
    "Counter",
    "Job",
    "Paper",
    "SearchEntry",
    "SearchLink",
    "SearchPart",
    "SearchWord",
]


class Collection(Record):
    """What a registrar decides. There is one row; `collection()` reads it."""

    name = models.CharField(max_length=200)
    code = models.CharField(max_length=12)
    address = models.TextField(blank=True)
    about = models.TextField(blank=True)
    reach_us = models.CharField(max_length=300, blank=True)
    accession_pattern = models.CharField(max_length=40, default="{year}.{n}")
    entry_pattern = models.CharField(max_length=40, default="E-{year}-{n}")
    zone = models.CharField(max_length=60, default="UTC")
    currency = models.CharField(max_length=3, default="EUR")
    decimal_comma = models.BooleanField(null=True, blank=True)
    day_first = models.BooleanField(null=True, blank=True, default=True)
    south = models.BooleanField(null=True, blank=True, default=False)
    letter_paper = models.BooleanField(default=False)
    # a collection of one: the first person is registrar and keeper, decisions stand as single-handed
    alone = models.BooleanField(default=False)
    witness = models.CharField(max_length=200, blank=True)
    # own excavations are kept by a standing decision of the keeper, with its minute
    own_digs_kept = models.BooleanField(default=False)
    own_digs_minute = models.CharField(max_length=300, blank=True)
    own_digs_decided_on = models.DateField(null=True, blank=True)
    own_digs_decided_by = models.CharField(max_length=200, blank=True)
    label_address = models.CharField(max_length=200, blank=True)
    earlier_label_addresses = models.TextField(blank=True)
    entry_days = models.PositiveSmallIntegerField(default=90)
    checkpoint_mail = models.CharField(max_length=300, blank=True)
    second_factor_for_heads = models.BooleanField(default=False)
    last_copy_on = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(pk=1), name="collection_is_one", violation_error_message="There is one collection."
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Paper(Fact):
    """A paper as it was sent, signed or handed over: byte for byte, with the hash of the facts it was set from."""

    kind = models.CharField(max_length=40)
    title = models.CharField(max_length=200)
    number = models.CharField(max_length=60, unique=True)
    about = models.CharField(max_length=60, db_index=True)
    # "heads" where it holds what only the registrar and the keeper read
    eyes = models.CharField(max_length=8, default="staff")
    facts_hash = models.CharField(max_length=24)
    sha256 = models.CharField(max_length=64)
    body = models.BinaryField()
    replaces = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")

    def __str__(self) -> str:
        return f"{self.title} {self.number}"


class Counter(models.Model):
    """The last number given under a name. Locked in the act's own transaction: what rolls back gives its number back."""

    name = models.CharField(max_length=60, unique=True)
    last = models.PositiveIntegerField(default=0)


class Answered(models.Model):
    """A key and the answer that was given to it: the same request twice happens once."""

    holder = models.CharField(max_length=40)
    key = models.CharField(max_length=128)
    fingerprint = models.CharField(max_length=64)
    status = models.PositiveSmallIntegerField(default=0)
    headers = models.JSONField(default=dict)
    body = models.TextField(blank=True)
    at = models.DateTimeField(auto_now_add=True, db_index=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["holder", "key"], name="answered_once")]


class Job(models.Model):
    """Long work that says how far it is."""

    uid = models.UUIDField(unique=True)
    kind = models.CharField(max_length=40)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    done = models.PositiveIntegerField(default=0)
    of = models.PositiveIntegerField(default=0)
    says = models.TextField(blank=True)
    result = models.CharField(max_length=300, blank=True)
    day = models.DateField(null=True)
    started_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "day"], name="job_once_a_day", condition=models.Q(day__isnull=False)
            )
        ]


class SearchEntry(models.Model):
    """What can be found: one row a thing and class of reader, pointing at its page."""

    kind = models.CharField(max_length=20)
    object_id = models.BigIntegerField()
    public = models.BooleanField(default=False)
    number = models.CharField(max_length=60, blank=True)
    number_key = models.CharField(max_length=60, blank=True, db_index=True)
    title = models.CharField(max_length=300)
    hint = models.CharField(max_length=300, blank=True)
    href = models.CharField(max_length=300)
    weight = models.SmallIntegerField(default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["kind", "object_id", "public"], name="search_entry_once")]


class SearchWord(models.Model):
    """One folded word that occurs anywhere; the vocabulary in which a misspelt word is looked for."""

    text = models.CharField(max_length=60, unique=True)


class SearchPart(models.Model):
    """A run of three letters of a word."""

    part = models.CharField(max_length=3, db_index=True)
    word = models.ForeignKey(SearchWord, models.CASCADE, related_name="parts")


class SearchLink(models.Model):
    """An entry has this word; `note` where it stands in notes only."""

    entry = models.ForeignKey(SearchEntry, models.CASCADE, related_name="links")
    word = models.ForeignKey(SearchWord, models.CASCADE, related_name="links")
    note = models.BooleanField(default=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["entry", "word"], name="search_link_once")]
        indexes = [models.Index(fields=["word", "note", "entry"], name="search_link_by_word")]
