"""A paper that was given out: the same bytes again, a new one when it says something else."""

from __future__ import annotations

import hashlib
import threading
from typing import Any

import pytest
from django.db import IntegrityError, connection

from catalog.ground.keeping import Draft, keep_paper, paper_at, paper_for, papers_about
from catalog.ground.models import Paper as Kept
from catalog.ground.papers import Paper, hash_of, typeset
from catalog.ground.refusal import NotAllowed, NotFound
from catalog.ground.roles import VISITOR
from tests import builders
from tests.outside.paper_facts import old_numbers


def draft(what: str = "ghost crab, spiral", eyes: str = "staff", **more: Any) -> Draft:
    drawn = old_numbers()
    facts = drawn.facts | {"by_new": [], "numbers": [{"old": "7a", "list": "shed", "new": "TH 2014.2", "what": what}]}
    return Draft("old-numbers", "register", Paper(drawn.template, facts | more, drawn.title), eyes)


@pytest.mark.django_db
def test_a_paper_asked_for_again_is_the_one_that_was_given(settings: Any) -> None:
    first = paper_for(builders.imke(), draft())
    again = paper_for(builders.saar(), draft(seal={"size": 999, "seal": "0000 0000 0000"}))
    assert (again.pk, bytes(again.body)) == (first.pk, bytes(first.body))
    assert hashlib.sha256(bytes(first.body)).hexdigest() == first.sha256
    assert first.facts_hash == hash_of(draft().paper.facts)
    assert first.number.startswith("P-")
    assert first.number.endswith("-1")


@pytest.mark.django_db
def test_a_paper_that_says_something_else_replaces_the_one_before() -> None:
    first = paper_for(builders.imke(), draft())
    second = paper_for(builders.imke(), draft("dune bee"))
    third = paper_for(builders.imke(), draft())
    assert (second.replaces, third.replaces) == (first, second)
    assert [p.number[-1] for p in papers_about(builders.lenno(), "register")] == ["3", "2", "1"]
    assert [p.is_replaced for p in papers_about(builders.lenno(), "register")] == [False, True, True]


@pytest.mark.django_db
def test_what_only_the_heads_may_read_is_kept_apart() -> None:
    theirs = paper_for(builders.imke(), draft("secret", eyes="heads"))
    ours = paper_for(builders.saar(), draft("open"))
    assert ours.replaces is None
    assert paper_at(builders.tobias(), theirs.number.lower()) == theirs
    with pytest.raises(NotFound):
        paper_at(builders.saar(), theirs.number)
    assert [p.number for p in papers_about(builders.saar(), "register")] == [ours.number]
    assert not papers_about(VISITOR, "register")
    with pytest.raises(NotAllowed):
        keep_paper(VISITOR, draft("nothing"))


@pytest.mark.django_db
def test_a_kept_paper_is_never_changed() -> None:
    kept = paper_for(builders.imke(), draft())
    with pytest.raises(IntegrityError, match="is never changed"):
        Kept.objects.filter(pk=kept.pk).update(body=b"%PDF-forged")


@pytest.mark.django_db(transaction=True)
def test_two_who_ask_at_once_are_given_one_paper() -> None:
    imke, at_once, given = builders.imke(), threading.Barrier(4), []

    def ask() -> None:
        at_once.wait()
        given.append(paper_for(imke, draft()).number)
        connection.close()

    hands = [threading.Thread(target=ask) for _ in range(4)]
    [hand.start() for hand in hands]
    [hand.join() for hand in hands]
    assert len(given) == 4
    assert len(set(given)) == Kept.objects.count() == 1


def test_a_picture_of_a_paper_is_a_picture() -> None:
    from catalog.ground.papers import picture_of
    from tests.outside.label_samples import KINDS, Label, label_paper, roll_for
    from tests.outside.paper_facts import PRINTED_AT

    paper = label_paper(KINDS["object"], [Label("2016.1")], roll_for(KINDS["object"]))
    picture = picture_of(paper, printed_at=PRINTED_AT, dots_per_inch=254)
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    assert [int.from_bytes(picture[n : n + 4], "big") for n in (16, 20)] == [500, 250]  # 50 by 25 mm
    assert typeset(paper, printed_at=PRINTED_AT)[:5] == b"%PDF-"
