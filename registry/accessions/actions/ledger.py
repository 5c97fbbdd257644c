"""The register grows by one line: the head is locked last and held shortest."""

from __future__ import annotations

import secrets
from datetime import datetime
from typing import Any

from django.conf import settings
from django.utils import timezone

from catalog.casts.models import Cast
from catalog.casts.numbers import read
from catalog.ground.acting import action, store
from catalog.ground.collection import collection, local
from catalog.ground.numbers import last_number, never_below
from catalog.ground.refusal import Hindered, Reason
from catalog.ground.roles import Actor
from registry.accessions import line_members, rules
from registry.accessions.actions.checkpoints import checkpoint_after
from registry.accessions.models import LedgerHead, LedgerLine, LineSource
from registry.accessions.reads.register import counter_of, members_of
from registry.accessions.seal import append, canonical, commit_of, leaf, root_of

_HASH = 32


@action("accession.do")
def open_register(actor: Actor) -> LedgerLine | None:
    """The first line, where there is none: whose register this is, and the last number of this year that was given on paper."""
    ours, year = collection(), local(timezone.now()).year
    if not ours.code:
        raise Hindered("The collection has no name and code yet. The welcome asks for them.")
    counter = counter_of("accession", ours.accession_pattern, year)
    # who opens it at the same time waits at the counter, as for any number: the counter is locked before the head
    on_paper = max(last_number(counter), last_number(f"accession {year}"))
    never_below(counter, on_paper)
    if LedgerLine.objects.filter(n=1).exists():
        return None
    head = hold_head()
    members: dict[str, Any] = {
        "collection": line_members.sealed(ours.code),
        "title": line_members.sealed(ours.name),
        "register": line_members.origin_of(settings.BASE_ADDRESS, ours.code),
    }
    if on_paper:
        members["last_on_paper"] = on_paper
    return _append(actor, head, "opening", members)


def ensure_open(actor: Actor) -> None:
    """Opens the register with the first line that is to be written."""
    if not LedgerLine.objects.filter(n=1).exists():
        open_register(actor)


@action("accession.do")
def append_line(
    actor: Actor,
    kind: str,
    members: dict[str, Any],
    *,
    cast: Cast | None = None,
    by: int | None = None,
    clock_is_right: bool = False,
) -> LedgerLine:
    """Writes one line. `members` are those of its kind; what every line bears is added here. Call it last in an act."""
    ensure_open(actor)
    opening = members_of(LedgerLine.objects.get(n=1))
    bare, whole = str(members.get("number") or ""), {**members, "register": opening["register"]}
    if bare:
        whole["number"] = f"{opening['collection']} {bare}"
    return _append(actor, hold_head(), kind, whole, bare, cast=cast, by=by, clock_is_right=clock_is_right)


def hold_head() -> LedgerHead:
    head = LedgerHead.objects.select_for_update(no_key=True).filter(pk=1).first()
    if head is None:
        never_below("register", 0)  # two who write the first line at once: the second waits at this counter
        head = LedgerHead.objects.select_for_update(no_key=True).filter(pk=1).first()
    return head or store(LedgerHead(pk=1))


def _append(
    actor: Actor,
    head: LedgerHead,
    kind: str,
    members: dict[str, Any],
    bare: str = "",
    *,
    cast: Cast | None = None,
    by: int | None = None,
    clock_is_right: bool = False,
) -> LedgerLine:
    n = head.size + 1
    at = _instant(n, clock_is_right)
    person = by or actor.person_id
    whole = members | {
        "v": line_members.VERSION,
        "line": n,
        "kind": kind,
        "at": line_members.instant_text(at),
        "by": f"p{person}" if person else "house",
    }
    raw = canonical(whole)
    grown = append(_peaks(head), head.size, leaf(raw))
    line = store(_row(whole, bare, at, raw, root_of(grown), cast))
    head.size, head.frontier = n, b"".join(grown)
    store(head)
    checkpoint_after(line, str(whole["register"]))
    return line


def _row(members: dict[str, Any], bare: str, at: datetime, raw: bytes, head: bytes, cast: Cast | None) -> LedgerLine:
    found = read(collection().accession_pattern, bare)
    return LedgerLine(
        n=members["line"],
        kind=members["kind"],
        number=bare,
        year=found[0] if found else None,
        object=members.get("object") or "",
        at=at,
        corrects=members.get("corrects"),
        cast=cast,
        raw=raw,
        leaf=leaf(raw),
        head=head,
    )


def _peaks(head: LedgerHead) -> list[bytes]:
    kept = bytes(head.frontier)
    return [kept[i : i + _HASH] for i in range(0, len(kept), _HASH)]


def _instant(n: int, clock_is_right: bool) -> datetime:
    """Now, never before the last line; a clock that cannot be right stops the register."""
    now = timezone.now().replace(microsecond=0)
    last = LedgerLine.objects.filter(n=n - 1).values_list("at", flat=True).first()
    if last is None:
        return now
    fault = rules.clock_fault(local(now), local(last), year=local(now).year, last_year=local(last).year)
    if fault and not clock_is_right:
        raise Hindered(Reason(fault, "clock_is_right"))
    return max(now, last)


def with_source(text: str) -> tuple[str, bytes]:
    """The hash that is sealed for a source, and the salt that makes it unguessable."""
    salt = secrets.token_bytes(_HASH)
    return commit_of(salt, text), salt


def keep_source(line: LedgerLine, salt: bytes, text: str) -> LineSource:
    """Keeps the source beside its line, where it can be erased without touching the seal."""
    return store(LineSource(line=line, salt=salt, text=text))
