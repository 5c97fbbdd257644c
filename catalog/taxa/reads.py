"""Names of animals, for lists, pages and the API."""

from __future__ import annotations

from uuid import UUID

from django.db.models import Q, QuerySet

from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.taxa.models import Taxon


def taxa(reader: Actor) -> QuerySet[Taxon]:
    """All names this reader may know of."""
    return visible_to(reader, Taxon.objects.all())


def taxon_at(reader: Actor, pk: int) -> Taxon:
    """NotFound where there is none."""
    found = taxa(reader).filter(pk=pk).first()
    if found is None:
        raise NotFound("This name is not on our list.")
    return found


def taxon_named(words: str) -> Taxon | None:
    """The one name meant by these words: its key or public id, the scientific name (with or without its author), the common name."""
    said = " ".join(words.split())
    if said.isascii() and said.isdigit() and len(said) < 19:
        return Taxon.objects.filter(pk=int(said)).first()
    try:
        if len(said) == 36:
            return Taxon.objects.filter(uid=UUID(said)).first()
    except ValueError:
        return None
    return _only(Taxon.objects.filter(name__iexact=said)) or _with_author(said) or _only_common(said)


def _only(rows: QuerySet[Taxon]) -> Taxon | None:
    found = list(rows.order_by("pk")[:2])
    return found[0] if len(found) == 1 else None


def _with_author(said: str) -> Taxon | None:
    """`Lasius flavus (Fabricius, 1782)`: the name and its author in one text."""
    begins = {said[:cut] for cut in range(len(said)) if said[cut] == " "}
    rows = Taxon.objects.filter(name__in=begins)[:20]
    return next((t for t in rows if f"{t.name} {t.author}".casefold() == said.casefold()), None)


def _only_common(said: str) -> Taxon | None:
    return _only(Taxon.objects.filter(common_name__iexact=said)) if said else None


def same_name(name: str, author: str, *, but: int | None = None) -> Taxon | None:
    """This very name with this author, whatever the case."""
    return Taxon.objects.filter(Q(name__iexact=name, author__iexact=author)).exclude(pk=but or 0).first()
