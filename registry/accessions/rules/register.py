"""The clock of the register, and what hinders a number, a line taken over, a correction, a void."""

from __future__ import annotations

from datetime import datetime, timedelta

from catalog.ground.refusal import Reason
from registry.accessions.said import CorrectionSaid, TranscribedSaid
from registry.accessions.states import CLOSED, TITLE_STATES

_BACK = timedelta(seconds=60)
_LONGEST_NUMBER = 40


def clock_fault(now: datetime, last_at: datetime | None, *, year: int, last_year: int) -> str:
    """The sentence when the clock and the last line do not go together, else empty. `now`, `last_at` and the years are local."""
    if last_at is None:
        return ""
    far = now < last_at - _BACK or year not in (last_year, last_year + 1)
    if not far:
        return ""
    return (
        f"The clock says {now:%Y-%m-%d %H:%M}, the last line was written at {last_at:%Y-%m-%d %H:%M}. "
        "No number is given until the clock is mended, or a registrar says that it is right."
    )


def hinders_numbering(number: str, *, state: str, closed_as: str, has_number: bool) -> list[Reason]:
    """What is so of the cast that no number can be given to it."""
    if has_number:
        return [Reason(f"{number} has its number already. It is never given a second one.")]
    if state in CLOSED or closed_as:
        was = state if state in CLOSED else closed_as
        return [
            Reason(f"{number} cannot have a number: it is closed as “{was}”. Bring it in anew if it is to be kept.")
        ]
    if state in ("loan in", "job"):
        what = "a loan to us" if state == "loan in" else "here for a job"
        return [Reason(f"{number} cannot have a number: it is {what}. Propose it if it is to become ours.")]
    return []


def wrong_transcribed(said: TranscribedSaid) -> list[Reason]:
    """Reasons against a line taken over from an older register. What the page lacks is left empty, never made up."""
    number = said.number.strip()
    found = []
    if not number or len(number) > _LONGEST_NUMBER:
        found.append(Reason(f"Write the number as it stands in the book, at most {_LONGEST_NUMBER} signs.", "number"))
    if number and not any(c.isdigit() for c in number):
        found.append(Reason("A number has a figure in it.", "number", said=number))
    if "/" in number:
        found.append(Reason("A number has no stroke in it here. Write a point or a hyphen.", "number", said=number))
    if not said.object.strip():
        found.append(Reason("Write what the book says the object is.", "object"))
    if len(said.object) > 500:
        found.append(Reason("Shorten this to 500 letters.", "object"))
    if not said.book.strip():
        found.append(Reason("Write which book the line is taken over from.", "book"))
    if len(said.book) + len(said.page) + len(said.entry) > 250:
        found.append(Reason("Shorten book, page and entry to 250 letters together.", "book"))
    if said.title not in dict(TITLE_STATES):
        found.append(Reason("Say the state of title. Unknown counts.", "title", said=said.title))
    if said.sure not in ("yes", "in part", "no"):
        found.append(Reason("Say whether the page could be read: yes, in part, or no.", "sure", said=said.sure))
    return found


def wrong_correction(said: CorrectionSaid, *, fields: list[str], was: str | int | None) -> list[Reason]:
    """Reasons against a correction of one member of a line."""
    if said.field not in fields:
        words = ", ".join(fields) or "nothing"
        sentence = f"In this line can be corrected: {words}. A wrong number is made void, and a new one given."
        return [Reason(sentence, "field", said=said.field)]
    found = [] if said.ground.strip() else [Reason("Write why: the ground stands in the register for ever.", "ground")]
    if len(said.ground) > 500 or len(said.is_) > 500:
        found.append(Reason("Shorten this to 500 letters.", "ground" if len(said.ground) > 500 else "is"))
    if not said.is_.strip():
        found.append(Reason("Write what it should be.", "is"))
    elif said.is_.strip() == ("" if was is None else str(was)):
        found.append(Reason("This is what the register says already.", "is", said=said.is_))
    if said.field == "pieces" and said.is_.strip() and not (said.is_.strip().isascii() and said.is_.strip().isdigit()):
        found.append(Reason("Write the number of parts in figures.", "is", said=said.is_))
    return found


def wrong_void(number: str, ground: str, *, given: bool) -> list[Reason]:
    """Reasons against closing a number that has no line."""
    found = [] if number.strip() else [Reason("Write the number that is closed.", "number")]
    if given:
        sentence = f"{number} has its line in the register already. A line is corrected, never taken away."
        found.append(Reason(sentence, "number", said=number))
    if not ground.strip():
        found.append(Reason("Write why: the ground stands in the register for ever.", "ground"))
    return found
