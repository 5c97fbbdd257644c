"""Papers that were given out: kept byte for byte, given again as they were, replaced when what they say has changed."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace

from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from catalog.ground import papers, say
from catalog.ground.acting import action, store
from catalog.ground.collection import local, today
from catalog.ground.models import Paper
from catalog.ground.numbers import never_below, next_number
from catalog.ground.refusal import NotFound
from catalog.ground.roles import HEADS, Actor

STAFF_EYES, HEADS_EYES = "staff", "heads"


@dataclass(frozen=True)
class Draft:
    """A paper before it is kept: `kind` in hyphens, `about` the number of a thing of ours, and what is to be set.

    `eyes` is "heads" where its facts hold what only the registrar and the keeper read; others are set another one.
    """

    kind: str
    about: str
    paper: papers.Paper
    eyes: str = STAFF_EYES


def paper_for(actor: Actor, draft: Draft) -> Paper:
    """The kept paper that says exactly this, else a new one under its own number that replaces the one before."""
    return _same(draft) or keep_paper(actor, draft)


@action("record.read")
def keep_paper(actor: Actor, draft: Draft) -> Paper:
    """Sets the paper, gives it the next number of the year (P-2026-5) and keeps it; the kept one where nothing changed."""
    year = today().year
    never_below(f"paper {year}", 0)  # of two who ask at once the second waits here, and is given what the first kept
    if same := _same(draft):
        return same
    before = _newest(draft)
    number = f"P-{year}-{next_number(f'paper {year}')}"
    whole = _printed(actor, draft, number, before)
    body = papers.typeset(whole, printed_at=local(timezone.now()))
    return store(
        Paper(
            kind=draft.kind,
            title=whole.title[:200],
            number=number,
            about=draft.about,
            eyes=draft.eyes,
            facts_hash=papers.hash_of(whole.facts),
            sha256=hashlib.sha256(body).hexdigest(),
            body=body,
            replaces=before,
        )
    )


def _printed(actor: Actor, draft: Draft, number: str, before: Paper | None) -> papers.Paper:
    """The paper with its own number, who prints it, and which one it stands for now."""
    facts = dict(draft.paper.facts)
    own = {"number": number}
    if before:
        own["replaces"] = f"{before.number} of {say.day(local(before.written_at).date())}"
    facts["paper"] = facts["paper"] | own
    facts["printed"] = {"by": actor.name} | facts.get("printed", {})
    return replace(draft.paper, facts=facts)


def _newest(draft: Draft) -> Paper | None:
    rows = Paper.objects.filter(kind=draft.kind, about=draft.about, eyes=draft.eyes)
    return rows.order_by("-pk").first()


def _same(draft: Draft) -> Paper | None:
    newest = _newest(draft)
    return newest if newest and newest.facts_hash == papers.hash_of(draft.paper.facts) else None


def papers_for(reader: Actor) -> QuerySet[Paper]:
    """Kept papers that this reader may have again; what was set for the registrar and the keeper is theirs."""
    if not reader.staff:
        return Paper.objects.none()
    return Paper.objects.all() if reader.roles & HEADS else Paper.objects.filter(eyes=STAFF_EYES)


def papers_about(reader: Actor, about: str) -> QuerySet[Paper]:
    """All papers kept about a thing, newest first, without their bytes."""
    later = Exists(Paper.objects.filter(replaces=OuterRef("pk")))
    return papers_for(reader).filter(about=about).defer("body").annotate(is_replaced=later).order_by("-pk")


def paper_at(reader: Actor, number: str) -> Paper:
    """The kept paper of this number (P-2026-5). NotFound otherwise."""
    kept = papers_for(reader).filter(number__iexact=number).first()
    if kept is None:
        raise NotFound("This is not a paper of ours, or not one for your eyes.")
    return kept
