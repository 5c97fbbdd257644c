"""Things to print labels for, by their numbers: a fixed number of queries, however many they are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any
from urllib.parse import unquote

from django.db.models import QuerySet
from django.db.models.functions import Upper

from catalog.casts.models import Cast, Piece
from catalog.casts.numbers import normalise
from catalog.casts.reads import cast_at, casts_for_list
from catalog.excavations.models import Bag
from catalog.ground import say
from catalog.ground.asks import bearer_of
from catalog.ground.collection import collection
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.accessions.label_words import Thing
from registry.places.models import Place, Placement
from registry.places.reads import paths

MOST = 500
_TRAYS, _CRATES = frozenset({"tray", "box"}), frozenset({"crate", "van"})


def things_of(reader: Actor, texts: Sequence[str]) -> tuple[list[Thing], list[str]]:
    """The things that these typed or scanned texts mean, each once and in their order; and the texts that mean none of ours."""
    meant = {text: _candidates(text) for text in texts}
    found = _bearing(reader, {c for many in meant.values() for c in many})
    chosen: dict[str, Thing] = {}
    unknown = []
    for text, many in meant.items():
        thing = next((found[c] for c in many if c in found), None) or _asked(reader, text)
        if thing is None:
            unknown.append(text)
        else:
            chosen.setdefault(thing.number, thing)
    return list(chosen.values()), unknown


def _candidates(text: str) -> list[str]:
    """What the text may mean, likeliest first, in capitals; of a label's address only the number."""
    said = unquote(text.rstrip("/").rpartition("/")[2]) if "/q/" in text.lower() else text
    ours = collection()
    patterns = (ours.accession_pattern, ours.entry_pattern)
    return [c.upper() for c in normalise(said, ours.code, patterns=patterns)]


def _asked(reader: Actor, text: str) -> Thing | None:
    """A thing that another room knows by this text, such as by an old number."""
    for bearer in bearer_of(reader, text):
        if found := _bearing(reader, {bearer.number.upper()}):
            return found.get(bearer.number.upper())
    return None


def _bearing(reader: Actor, numbers: set[str]) -> dict[str, Thing]:
    """Everything of ours that bears one of these numbers (in capitals), by its number in capitals."""
    if not numbers:
        return {}
    casts = casts_for_list(reader).alias(up=Upper("number"))
    bags = visible_to(reader, Bag.objects.select_related("lift", "lift__excavation")).alias(up=Upper("code"))
    places: Any = visible_to(reader, Place.objects.alias(up=Upper("code")))
    made = [*of_casts(casts.filter(up__in=numbers)), *_of_pieces(reader, numbers)]
    made += [*of_bags(bags.filter(up__in=numbers)), *_of_places(list(places.filter(up__in=numbers)))]
    return {thing.number.upper(): thing for thing in made}


def of_casts(casts: Iterable[Cast]) -> list[Thing]:
    """Casts with `taxon` at hand; one query more for which of them are in pieces."""
    casts = list(casts)
    in_pieces = set(Piece.objects.filter(cast__in=casts, present=True).values_list("cast_id", flat=True).distinct())
    return [
        Thing(
            "cast",
            cast.number,
            cast.href,
            what=cast.description,
            pk=cast.pk,
            has_pieces=cast.pk in in_pieces,
            parts=say.plural(cast.n_parts, "part") if cast.n_parts and cast.n_parts > 1 else "",
            made=_year(cast),
            form=cast.get_kind_display(),
            **_animal(cast),
        )
        for cast in casts
    ]


def _animal(cast: Cast) -> dict[str, Any]:
    common = cast.taxon.common_name if cast.taxon else cast.animal_words
    latin = f"{cast.taxon.name} {cast.qualifier}".strip() if cast.taxon else ""
    material = "" if cast.material in ("unknown", "other") else cast.material
    return {"common": common, "latin": latin, "material": material}


def _year(cast: Cast) -> str:
    first, last = cast.made_earliest, cast.made_latest
    return str(first.year) if first and last and first.year == last.year else ""


def pieces_of_cast(reader: Actor, number: str) -> list[Thing]:
    """The present pieces of a cast, in natural order."""
    cast = cast_at(reader, number)
    return of_pieces(_pieces(reader).filter(cast=cast, present=True).order_by("sort"))


def _pieces(reader: Actor) -> QuerySet[Piece]:
    return visible_to(reader, Piece.objects.select_related("cast", "cast__taxon", "lift"))


def _of_pieces(reader: Actor, numbers: set[str]) -> list[Thing]:
    """Pieces by number: 2016.1.4.2 may be piece 4.2 of 2016.1, so each dot may part cast from piece."""
    splits = {(".".join(p[:n]), ".".join(p[n:])) for p in (x.split(".") for x in numbers) for n in range(1, len(p))}
    if not splits:
        return []
    rows = _pieces(reader).annotate(up=Upper("cast__number"))
    rows = rows.filter(up__in={cast for cast, _ in splits}, suffix__in={suffix for _, suffix in splits})
    return of_pieces(piece for piece in rows if (piece.cast.number.upper(), piece.suffix) in splits)


def of_pieces(pieces: Iterable[Piece]) -> list[Thing]:
    """Pieces with `cast`, its `taxon` and `lift` at hand."""
    made = []
    for piece in pieces:
        named = piece.get_kind_display() if piece.kind not in ("", "unknown") else ""
        depth = _depth(piece.from_cm, piece.to_cm)
        about: dict[str, Any] = {"part": ", ".join(p for p in (named, depth) if p), "lift": _lift(piece)}
        thing = Thing(
            "piece", piece.number, piece.href, piece.cast.description, **about, **_animal(piece.cast), pk=piece.pk
        )
        made.append(thing)
    return made


def _depth(from_cm: object, to_cm: object) -> str:
    if from_cm is None and to_cm is None:
        return ""
    ends = [say.figure(end) for end in (from_cm, to_cm) if end is not None]  # type: ignore[arg-type]
    return f"{'–'.join(ends)} cm"


def _lift(piece: Piece) -> str:
    lift = piece.lift
    if lift is None:
        return ""
    return ", ".join(
        [f"lift {lift.n}", *(["up is marked"] if lift.up_marked else []), *([lift.side] if lift.side else [])]
    )


def unused_bags(reader: Actor) -> list[Thing]:
    """Bags whose codes are not tied to a lift yet, in the order in which they were made."""
    rows = visible_to(reader, Bag.objects.select_related("lift", "lift__excavation"))
    return of_bags(rows.filter(lift__isnull=True, outcome="").order_by("pk")[: MOST // 2])


def of_bags(bags: Iterable[Bag]) -> list[Thing]:
    """Bags with `lift` and its `excavation` at hand; an unused one says nothing but its code."""
    made = []
    for bag in bags:
        lift = bag.lift
        said: dict[str, Any] = (
            {"lift": f"lift {lift.n}, {lift.excavation.number}", "part": _depth(lift.from_cm, lift.to_cm)}
            if lift
            else {}
        )
        made.append(Thing("bag", bag.code, f"/bags/{bag.code}/", what=f"Bag {bag.code}", **said, pk=bag.pk))
    return made


def _of_places(places: list[Place]) -> list[Thing]:
    if not places:
        return []
    path, inside = paths(), _inside(places)
    return [
        Thing(
            _kind(place),
            place.code,
            place.href,
            what=place.name,
            path=", ".join(path[place.pk].split(" › ")[-3:]),
            holds=f"{say.figure(place.holds_kg)} kg" if place.holds_kg is not None else "",
            fitness=place.fitness.split("\n")[0],
            contents=inside.get(place.pk, ()),
            pk=place.pk,
        )
        for place in places
    ]


def _kind(place: Place) -> str:
    return "tray" if place.kind in _TRAYS else "crate" if place.kind in _CRATES else "shelf"


def _inside(places: list[Place]) -> dict[int, tuple[str, ...]]:
    """For trays and boxes: from which to which number, how many, of which lifts."""
    trays = [place.pk for place in places if place.kind in _TRAYS]
    rows = Placement.objects.filter(place__in=trays).select_related("cast", "piece", "piece__lift")
    held: dict[int, list[Placement]] = {}
    for placement in rows.order_by("cast__sort", "piece__sort") if trays else []:
        held.setdefault(placement.place_id or 0, []).append(placement)
    return {pk: _summed(many) for pk, many in held.items()}


def _summed(held: list[Placement]) -> tuple[str, ...]:
    numbers = [f"{p.cast.number}.{p.piece.suffix}" if p.piece else p.cast.number for p in held]
    lifts = sorted({p.piece.lift.n for p in held if p.piece and p.piece.lift})
    last = numbers[-1].removeprefix(held[0].cast.number) if held[-1].piece else numbers[-1]
    span = f"{numbers[0]} to {last}" if len(numbers) > 1 else numbers[0]
    word = "piece" if all(p.piece for p in held) else "thing"
    of = f", lifts {lifts[0]} to {lifts[-1]}" if len(lifts) > 1 else f", lift {lifts[0]}" if lifts else ""
    return (span, f"{say.plural(len(held), word, words=False)}{of}")
