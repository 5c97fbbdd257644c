"""What may stand on a visitor's page. Pure: facts in, sentences out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from catalog.ground.refusal import Reason
from catalog.media.rights import RIGHTS
from catalog.media.rules import exact_is_secret, kept_back
from catalog.publishing.betrayals import coordinates_in, named_in

_LONGEST = {"title": 200, "story": 10_000, "seen_at": 300, "place_words": 300}
_CELL_WHEN_UNKNOWN = Decimal("0.1")  # category 2


@dataclass(frozen=True)
class Secrets:
    """What a page must not tell: names of places and people, and from which figure on a point is too fine.

    `category` is the strictest among the sites it comes from, None where no site is on record, which counts as 2.
    """

    category: str | None = None
    places: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    cell_deg: Decimal | None = None


@dataclass(frozen=True)
class Picture:
    """What is asked of the picture on a page."""

    of_this: bool = True
    withdrawn: bool = False
    of_label: bool = False
    shows_place: bool = False


@dataclass(frozen=True)
class Said:
    """What is said on a page, as far as words go."""

    title: str
    story: str = ""
    seen_at: str = ""
    place_words: str = ""
    licence: str = ""
    picture: Picture | None = field(default=None)

    @property
    def texts(self) -> dict[str, str]:
        return {n: getattr(self, n) for n in _LONGEST}


def wrong_in_page(said: Said) -> list[Reason]:
    """Reasons of form: what is missing, too long, not on the list."""
    found = [] if said.title.strip() else [Reason("Write what visitors read first.", "title")]
    found += [
        Reason(f"Shorten this to {_LONGEST[name]} letters; it has {len(text)}.", name)
        for name, text in said.texts.items()
        if len(text) > _LONGEST[name]
    ]
    if said.licence and said.licence not in dict(RIGHTS):
        found.append(Reason("Choose one of the rights on the list.", "licence", said=said.licence[:120]))
    return found


def what_betrays(said: Said, secrets: Secrets) -> list[Reason]:
    """Words and figures that would give a kept-back place away, or name who has not agreed; the sentence names the word."""
    return [r for name, text in said.texts.items() for r in _in_text(name, text, secrets)] + _in_picture(said, secrets)


def _in_text(name: str, text: str, secrets: Secrets) -> list[Reason]:
    found = [
        Reason(f"“{word}” gives a place away that is kept back. Leave it out, or write the region.", name, said=word)
        for word in named_in(text, secrets.places)
    ]
    found += [
        Reason(f"{person} has not agreed to be named in public. Leave the name out, or ask.", name, said=person)
        for person in named_in(text, secrets.people)
    ]
    if exact_is_secret(secrets.category):
        point = coordinates_in(text, secrets.cell_deg or _CELL_WHEN_UNKNOWN)
        if point:
            found.append(
                Reason(f"“{point}” reads as a position, finer than it may be shown. Leave it out.", name, said=point)
            )
    return found


def _in_picture(said: Said, secrets: Secrets) -> list[Reason]:
    return [Reason(sentence, "picture") for sentence in hinders_picture(said.picture, secrets.category)]


def hinders_picture(picture: Picture | None, category: str | None) -> list[str]:
    """Why a picture cannot be shown to visitors."""
    if picture is None:
        return []
    found = []
    if not picture.of_this:
        found.append("This picture is of another cast. Choose one of this cast.")
    if picture.withdrawn:
        found.append("This picture was taken off. Choose another one.")
    if picture.shows_place and kept_back(category):
        found.append("This picture shows a place that is kept back. Choose one that does not.")
    if picture.of_label and exact_is_secret(category):
        found.append("This is a picture of a label, which may name the place. Choose one of the cast itself.")
    return found


def day_shown(edtf: str, category: str | None) -> str:
    """An uncertain day as visitors read it: to the month where the place is kept back."""
    return re.sub(r"(\d{4}-\d{2})-\d{2}", r"\1", edtf) if kept_back(category) else edtf


def why_taken_back(number: str, reasons: Mapping[str, str]) -> str:
    """What is told when a page has to go because a place is kept back more strictly."""
    words = ", ".join(f"“{word}”" for word in reasons)
    return f"The visitor's page of {number} is taken back: it names {words}. Change its words and publish it again."
