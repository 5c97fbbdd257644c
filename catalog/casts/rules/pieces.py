"""What hinders listing, breaking, weighing, joining and mending the numbers of pieces. Pure: facts in, sentences out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from catalog.casts.mass_balance import Weighed, width_g
from catalog.ground import say
from catalog.ground.refusal import Reason

MOST_G = Decimal(10_000_000)
DRY, FIXED, FAILED, UNDONE = "dry fit", "fixed", "failed", "undone"
STANDING = (DRY, FIXED)
TAKEN_BACK = "the breakage was recorded wrongly"
# from which state a join may go into which; what is over stays, and is joined anew as another join
NEXT = {DRY: (DRY, FIXED, FAILED, UNDONE), FIXED: (FIXED, FAILED, UNDONE), FAILED: (), UNDONE: ()}


def hinders_pieces(suffixes: Iterable[str], *, there: Iterable[str]) -> list[Reason]:
    """A suffix stands once in its cast."""
    seen, have = set(), set(there)
    found = []
    for n, suffix in enumerate(suffixes):
        if suffix in have or suffix in seen:
            found.append(
                Reason(
                    f"This cast has a piece {suffix} already. Take the next free number.",
                    f"pieces/{n}/suffix",
                    said=suffix,
                )
            )
        if not suffix.replace(".", "").isdigit():
            found.append(
                Reason(
                    "A piece is numbered with figures, its children with a dot: 4, 4.1.",
                    f"pieces/{n}/suffix",
                    said=suffix,
                )
            )
        seen.add(suffix)
    return found


def hinders_mass(mass_g: Decimal | None, field: str = "mass_g") -> list[Reason]:
    """A body weighs more than nothing and no more than anything ever cast."""
    if mass_g is None:
        return []
    if mass_g <= 0:
        return [Reason("Write a mass above zero.", field, said=str(mass_g))]
    if mass_g > MOST_G:
        return [Reason(f"More than {say.mass(MOST_G)}: look at the unit.", field, said=str(mass_g))]
    return []


def hinders_uncertainty(u_g: Decimal | None, field: str = "mass_u_g") -> list[Reason]:
    """What a mass may be off by is not below zero."""
    return [Reason("Write it above zero.", field, said=str(u_g))] if u_g is not None and u_g < 0 else []


def hinders_describing(changes: Mapping[str, Any], *, known: Sequence[str]) -> list[Reason]:
    """Only what a piece has; figures above zero."""
    found = [Reason(f"A piece has no {name!r} to change here.", name) for name in changes if name not in known]
    largest = changes.get("largest_mm")
    if largest is not None and not 0 < largest <= 100_000:
        found.append(Reason("Write a length above zero, in mm, up to 100 m.", "largest_mm", said=str(largest)))
    return found


def hinders_depth(from_cm: Decimal | None, to_cm: Decimal | None) -> list[Reason]:
    """A piece goes from above to below."""
    if from_cm is not None and to_cm is not None and to_cm < from_cm:
        return [Reason("The lower end lies above the upper one. Change the two depths over.", "to_cm", said=str(to_cm))]
    return []


def hinders_crumbs(mass_g: Decimal | None, n: int | None) -> list[Reason]:
    """A lot of crumbs says something: what it weighs, or how many there are."""
    if mass_g is None and n is None:
        return [Reason("Write what the crumbs weigh, or how many there are.", "mass_g")]
    found = hinders_mass(mass_g)
    if n is not None and not 0 < n <= 100_000:
        found.append(Reason("Count the crumbs: one or more.", "n", said=str(n)))
    return found


def hinders_day(on: date | None, *, today: date, made: date | None = None, field: str = "on") -> list[Reason]:
    """What was done was done between the day it was dug and today."""
    if on and on > today:
        return [Reason("This day has not come yet. Write when it was done.", field, said=on.isoformat())]
    if on and made and on < made:
        return [Reason(f"That is before it came to be, on {say.day(made)}.", field, said=on.isoformat())]
    return []


def hinders_parts(
    parts: Sequence[Weighed | None], *, parent: Weighed | None, lost_g: Decimal | None, least: int = 2
) -> list[Reason]:
    """A body breaks into two or more; none of them is heavier than it was."""
    found = []
    if len(parts) < least:
        found.append(
            Reason("Into two or more pieces. If one body is left, it is damage: say what it weighs now.", "parts")
        )
    for n, part in enumerate(parts):
        if part is None:
            continue
        found += hinders_mass(part.mass_g, f"parts/{n}/mass_g")
        if parent and {parent.state, part.state} in ({parent.state}, {parent.state, ""}) and _heavier(part, parent):
            said = f"Part {n + 1} weighs {say.mass(part.mass_g)}, more than the {say.mass(parent.mass_g)} that broke."
            found.append(Reason(f"{said} Weigh it again.", f"parts/{n}/mass_g", said=str(part.mass_g)))
    if lost_g is not None and lost_g < 0:
        found.append(Reason("A loss cannot be below zero.", "lost_g", said=str(lost_g)))
    return found


def _heavier(part: Weighed, parent: Weighed) -> bool:
    over = part.mass_g - parent.mass_g
    return over > 2 * (width_g(part) ** 2 + width_g(parent) ** 2).sqrt()


def hinders_pairs(fits: Iterable[tuple[int, int]], n_parts: int) -> list[Reason]:
    """Children that fit are two different ones of those that came of it."""
    return [
        Reason(f"Parts {a + 1} and {b + 1} are not two of the {n_parts} parts.", "fits")
        for a, b in fits
        if a == b or not (0 <= a < n_parts and 0 <= b < n_parts)
    ]


def gone_sentence(number: str, children: Sequence[str], struck_off: str, became: str) -> str:
    """Why a piece that is no longer present cannot be handled, and what to turn to."""
    if became:
        return f"{number} is of another cast: it is {became} now."
    if children:
        named = say.listed(children) if len(children) < 4 else f"{children[0]} to {children[-1]}"
        return f"{number} broke: it is {named} now."
    if struck_off:
        return f"{number} is struck off: {struck_off}."
    return f"{number} is no longer there."


def number_of_next(there: Iterable[str], under: str = "") -> int:
    """The next free number: behind the highest of the cast's pieces, or of one piece's children. Never one given before."""
    head = f"{under}." if under else ""
    tails = (s.removeprefix(head) for s in there if s.startswith(head))
    return max((int(t) for t in tails if t.isdigit()), default=0) + 1


def next_letter(there: Iterable[str]) -> str:
    """The next free letter of a face: a to z, then aa."""
    taken = set(there)
    letters = [chr(c) for c in range(ord("a"), ord("z") + 1)]
    return next(one for one in [*letters, *(a + b for a in letters for b in letters)] if one not in taken)


def hinders_letter(letter: str, there: Iterable[str]) -> list[Reason]:
    """A face is called by one or two letters, its parts with a figure: a, b, a1."""
    head = letter.rstrip("0123456789")
    if not (head.isascii() and head.isalpha() and head.islower() and len(head) <= 2 and len(letter) <= 8):
        return [Reason("A face is called by a small letter: a, b; its parts a1, a2.", "letter", said=letter)]
    if letter in set(there):
        return [Reason(f"This piece has a face {letter} already.", "letter", said=letter)]
    return []


def part_letters(letter: str, n: int, there: Iterable[str]) -> list[str]:
    """a becomes a1, a2; a part divided again takes the next free figures: a2 becomes a3, a4."""
    head, taken = letter.rstrip("0123456789"), set(there)
    free = (f"{head}{i}" for i in range(1, len(taken) + n + 2))
    return [name for name in free if name not in taken][:n]


def hinders_face(measured: Mapping[str, Any], *, known: Sequence[str]) -> list[Reason]:
    """A face has a size above zero; nothing that a face does not have."""
    found = [Reason(f"A break face has no {name!r}.", name) for name in measured if name not in known]
    for name in ("length_mm", "width_mm"):
        size = measured.get(name)
        if size is not None and not 0 < size <= 100_000:
            found.append(Reason("Write a length above zero, in mm, up to 100 m.", name, said=str(size)))
    return found


def hinders_natural_end(natural_end: bool, *, joined: bool, divided: bool) -> list[Reason]:
    """Where something fits, something was broken."""
    if natural_end and (joined or divided):
        return [Reason("Something fits here, so it is no natural end. Undo the join first.", "natural_end")]
    return []


def hinders_dividing(n: int, *, natural_end: bool, divided: bool) -> list[Reason]:
    """A break face is divided once, into two to nine parts."""
    if divided:
        return [Reason("This face is divided already. Divide one of its parts.")]
    if natural_end:
        return [Reason("A natural end is not divided: nothing was broken there.")]
    return [] if 2 <= n <= 9 else [Reason("Into two to nine parts.", "n", said=str(n))]


def hinders_placing(face: str, piece: str, *, below: bool, taken: bool) -> list[Reason]:
    """A face is carried by a part of the piece that it was on."""
    if not below:
        return [Reason(f"{piece} did not come of the piece that {face} is on.", "piece", said=piece)]
    return [Reason(f"{piece} has a face of that letter already.", "piece", said=piece)] if taken else []


def hinders_striking(why: str) -> list[Reason]:
    """A number is struck off with the reason, never removed."""
    if not why.strip():
        return [Reason("Write what it is instead: stone, soil.", "why")]
    return [Reason("At most 80 letters.", "why")] if len(why) > 80 else []


@dataclass(frozen=True)
class FaceFacts:
    """What the rules know of a face: its number, keys of its piece and cast, whether it can be joined at all."""

    number: str
    piece: int
    cast: int
    present: bool = True
    natural_end: bool = False
    divided: bool = False
    joined: bool = False


def hinders_join(a: FaceFacts, b: FaceFacts) -> list[Reason]:
    """A join is between two open faces of two pieces of one cast, both there."""
    if a.number == b.number:
        return [Reason("A face does not fit itself. Choose another face.", "faces/1", said=b.number)]
    if a.piece == b.piece:
        sentence = "Two faces of one piece are not joined. Choose a face of another piece."
        return [Reason(sentence, "faces/1", said=b.number)]
    found = []
    if a.cast != b.cast:
        sentence = f"{a.number} and {b.number} are of two casts. A join is within one cast."
        found.append(Reason(sentence, "faces/1", said=b.number))
    for n, face in enumerate((a, b)):
        found += [Reason(sentence, f"faces/{n}", said=face.number) for sentence in _closed(face)]
    return found


def _closed(face: FaceFacts) -> list[str]:
    said = [
        (not face.present, f"{face.number} is on a piece that is no longer there."),
        (face.natural_end, f"{face.number} is a natural end: nothing was broken there."),
        (face.divided, f"{face.number} is divided: name one of its parts."),
        (face.joined, f"{face.number} is joined already. Undo that join first."),
    ]
    return [sentence for holds, sentence in said if holds]


def hinders_crumb(n: int | None, lot_g: Decimal | None, mass_g: Decimal | None) -> list[Reason]:
    """A crumb weighs no more than the lot it lay in."""
    if n == 0:
        return [Reason("No crumb is left in that lot.", "lot")]
    if mass_g is not None and lot_g is not None and mass_g > lot_g:
        sentence = f"The whole lot weighs {say.mass(lot_g)}. Weigh the piece and the lot again."
        return [Reason(sentence, "mass_g", said=str(mass_g))]
    return hinders_mass(mass_g)


def hinders_new_join(state: str, adhesive: str) -> list[Reason]:
    """A join begins as a dry fit or fixed; what holds it is named."""
    if state not in STANDING:
        return [Reason("A join begins as a dry fit or fixed.", "state", said=state)]
    return hinders_adhesive(state, adhesive)


def hinders_adhesive(state: str, adhesive: str) -> list[Reason]:
    """What is fixed says with what; a dry fit is held by nothing."""
    if state == FIXED and not adhesive.strip():
        return [Reason("Write what it is fixed with, or: not known.", "adhesive")]
    if state == DRY and adhesive.strip():
        return [Reason("A dry fit has no adhesive. Say that it is fixed, or leave this empty.", "adhesive")]
    return []


def hinders_state(state: str, new: str) -> list[Reason]:
    """A join that failed or was undone stays so; the two faces are joined anew."""
    if new in NEXT[state]:
        return []
    if state in STANDING:
        return [Reason("What is fixed does not become a dry fit. Undo it, then join it anew.", "state", said=new)]
    return [Reason(f"This join is {state} and stays on record so. Join the faces anew.", "state", said=new)]
