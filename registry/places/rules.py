"""What hinders a place or a movement. Pure: facts in, sentences out."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime

from catalog.ground.refusal import Reason

# kinds of places that a cast is fixed to: its mount is also its place
FIXED_KINDS = frozenset({"frame"})
CONTAINER_KINDS = frozenset({"crate", "tray", "box", "van"})
_CODE = re.compile(r"[A-Za-z][A-Za-z0-9]*(-[A-Za-z0-9]+)*")


def wrong_code(code: str, *, borne_by: str = "") -> list[Reason]:
    """A code has letters first, so that it never looks like an accession number, and is borne by one thing only."""
    if not _CODE.fullmatch(code) or len(code) > 20:
        sentence = "A place code begins with a letter and has letters, figures and hyphens, at most 20: B-3, K-12."
        return [Reason(sentence, "code", said=code)]
    if re.fullmatch(r"(?i)[edx]-\d{4}-\d+[a-z]*", code):
        return [
            Reason(
                f"{code} looks like the number of an entry, an excavation or an exit. Take another code.",
                "code",
                said=code,
            )
        ]
    return [Reason(f"{code} is borne by {borne_by} already. Take another code.", "code", said=code)] if borne_by else []


def hinders_standing_in(code: str, target: str, path_of_target: Iterable[str]) -> list[Reason]:
    """A container does not go into itself, at any depth."""
    path = list(path_of_target)
    if code == target:
        return [Reason(f"{code} cannot go into itself.", "to", said=target)]
    if code in path:
        return [Reason(f"{code} cannot go into itself: {target} stands in it.", "to", said=target)]
    return []


def hinders_moving(
    *,
    what: str,
    target: str,
    closed_target: bool,
    already_there: bool,
    asks_reason: str,
    because: str,
    at: datetime,
    now: datetime,
    back_on: date | None,
) -> list[Reason]:
    """Reasons against one movement; `asks_reason` is why the thing is moved only with one (fragile, fixed)."""
    found = []
    if closed_target:
        found.append(Reason(f"{target} is no longer in use. Choose another place.", "to", said=target))
    if already_there:
        found.append(Reason(f"{what} is at {target} already.", "to", said=target))
    if asks_reason and not because.strip():
        found.append(Reason(f"{asks_reason} Write why it is moved, and who helps.", "because"))
    if at > now:
        found.append(
            Reason(
                "A movement that has not happened is not written. Write when it was moved.", "at", said=at.isoformat()
            )
        )
    if back_on and back_on < at.date():
        found.append(Reason("It cannot be due back before it is moved.", "back_on", said=back_on.isoformat()))
    return found
