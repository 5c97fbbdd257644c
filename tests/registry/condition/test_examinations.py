"""One look at condition: answered, signed, never changed; the next one goes on from it."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from hypothesis import given
from hypothesis import strategies as st

from catalog.casts.models import Cast
from catalog.casts.subject import Subject, facts, what_hinders
from catalog.ground.asks import history_of, todays_work
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, NotAllowed, Refusal
from catalog.media.actions import unmark
from catalog.media.models import Annotation
from registry.condition.actions import change_draft, examine, sign_examination
from registry.condition.models import Examination, Finding
from registry.condition.reads import examinations as reads
from registry.condition.rules import examinations as rules
from registry.condition.said import CarriedSaid, MarkSaid, NewSaid
from registry.condition.states.damage import TERMS
from tests import builders
from tests.registry.condition.makers_examinations import ago, answered, chip, examined, picture, said

pytestmark = pytest.mark.django_db


# looking and signing


def test_a_finding_is_marked_on_the_photograph_and_numbered() -> None:
    cast = builders.cast("2014.2")
    look = examined(cast, new=(chip(picture(cast)), NewSaid("bubble hole", origin="from making", grade="good")))
    chipped, bubble = look.findings.order_by("n")
    assert (chipped.n, chipped.kind, chipped.verdict, chipped.mark.points) == (1, "chip", "new", "120,80")
    assert chipped.mark.words == "Chip, 4\u202fmm, second turn"
    assert (bubble.n, bubble.mark) == (2, None)
    assert (look.signed, look.by.name, look.on) == (True, "Ottilie Brandt", today())


def test_the_next_look_answers_every_finding_of_the_last() -> None:
    cast = builders.cast("2014.2")
    first = examined(cast, on=ago(60), new=(chip(), NewSaid("crack", grade="fair")))
    with pytest.raises(Refusal, match="Findings 1 and 2 of the last time are still open"):
        examined(cast)
    one, two = first.findings.order_by("n")
    second = examined(
        cast, grade="poor", carried=(CarriedSaid(one.pk, "gone"), CarriedSaid(two.pk, "changed", Decimal(9), "poor"))
    )
    gone, grown = second.findings.order_by("n")
    assert (gone.n, gone.verdict, gone.line) == (1, "gone", one.pk)
    assert (grown.n, grown.size_mm, grown.grade, grown.carried_from, grown.line) == (2, 9, "poor", two, two.pk)
    third = examined(cast, grade="poor", carried=answered(second), new=(chip(),))
    assert [(f.n, f.kind) for f in third.findings.order_by("n")] == [(2, "crack"), (3, "chip")]


def test_all_in_all_it_is_never_better_than_its_worst_finding() -> None:
    with pytest.raises(Refusal, match="cannot be good: finding 1, chip, is poor"):
        examined(builders.cast("2014.2"), grade="good", new=(chip(grade="poor"),))


@given(st.lists(st.sampled_from(["", *rules.RANK]), max_size=5), st.sampled_from(list(rules.RANK)))
def test_a_grade_stands_exactly_when_no_finding_is_worse(grades: list[str], whole: str) -> None:
    seen = [rules.Seen(n, "chip", "new", g) for n, g in enumerate(grades, 1)]
    stands = not rules.hinders_signing(whole, seen, [], own=True, examiner="Ottilie Brandt")
    worst = rules.worst(grades)
    assert stands == (not worst or rules.RANK[worst] <= rules.RANK[whole])


def test_one_signs_what_one_has_seen_oneself() -> None:
    cast = builders.cast("2014.2")
    ottilie = builders.person("Ottilie Brandt")
    builders.ottilie()
    with pytest.raises(Refusal, match="Ottilie Brandt signs what Ottilie Brandt has seen"):
        examine(builders.imke(), Subject(cast), said(by=ottilie, on=ago(3)))
    draft = examine(builders.imke(), Subject(cast), said(by=ottilie, on=ago(3)), sign=False)
    assert not draft.signed
    assert any("not signed yet" in d.sentence for d in todays_work(builders.ottilie()))
    with pytest.raises(Refusal):
        sign_examination(builders.imke(), draft.pk)
    assert sign_examination(builders.ottilie(), draft.pk).signed
    with pytest.raises(Hindered, match="signed already"):
        sign_examination(builders.ottilie(), draft.pk)


def test_a_reader_examines_nothing() -> None:
    with pytest.raises(NotAllowed):
        examine(builders.lenno(), Subject(builders.cast("2014.2")), said())


# signed is signed


def test_a_signed_examination_is_never_changed_in_the_database_itself() -> None:
    cast = builders.cast("2014.2")
    look = examined(cast, new=(chip(),))
    finding = look.findings.get()
    deeds: list[Any] = [
        lambda: Examination.objects.filter(pk=look.pk).update(grade="good"),
        lambda: Finding.objects.filter(pk=finding.pk).update(size_mm=1),
        lambda: Finding.objects.filter(pk=finding.pk).delete(),
        lambda: Examination.objects.filter(pk=look.pk).delete(),
        lambda: Finding(
            examination=look, n=9, verdict="new", kind="chip", created_at=look.created_at, changed_at=look.created_at
        ).save_base(raw=True, force_insert=True),
    ]
    for deed in deeds:
        with pytest.raises(IntegrityError, match="never changed"), transaction.atomic():
            deed()
    with pytest.raises(Hindered, match="Write a new one"):
        change_draft(builders.ottilie(), look.pk, said())


def test_a_newer_one_puts_a_signed_one_right_once() -> None:
    cast = builders.cast("2014.2")
    wrong = examined(cast, on=ago(5), new=(chip(size_mm=40),))
    right = examined(cast, on=ago(5), replaces=wrong, carried=answered(wrong, "changed", size_mm=Decimal(4)))
    assert reads.last_of(Subject(cast)) == right
    rows = {e.pk: e.is_replaced for e in reads.examinations(builders.ottilie())}
    assert rows == {wrong.pk: True, right.pk: False}
    with pytest.raises(Hindered, match="only once"):
        examined(cast, replaces=wrong, carried=answered(wrong))
    with pytest.raises(Refusal, match="same thing"):
        examined(builders.cast("2016.1"), replaces=right)


def test_a_mark_that_a_signed_finding_rests_on_stays() -> None:
    cast = builders.cast("2014.2")
    mark = examined(cast, new=(chip(picture(cast)),)).findings.get().mark
    with pytest.raises(Hindered, match="Finding 1 of the signed examination"):
        unmark(builders.saar(), mark.pk, "a mistake")


def test_a_draft_is_written_anew_and_draws_no_mark_twice() -> None:
    cast = builders.cast("2014.2")
    shot = picture(cast)
    draft = examine(builders.ottilie(), Subject(cast), said(new=(chip(shot),)), sign=False)
    elsewhere = chip(shot, mark=MarkSaid(shot, "line", "10,10 30,30"))
    change_draft(builders.ottilie(), draft.pk, said(new=(chip(shot), elsewhere)))
    assert Annotation.objects.filter(taken_off_on__isnull=True).count() == 2
    done = change_draft(builders.ottilie(), draft.pk, said(new=(elsewhere,)), sign=True)
    assert [f.mark.points for f in done.findings.all()] == ["10,10 30,30"]
    assert [a.points for a in Annotation.objects.filter(taken_off_on__isnull=True)] == ["10,10 30,30"]


# what is refused


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({"on": date(2099, 1, 1)}, "has not come yet"),
        ({"reason": "for fun"}, "Choose why"),
        ({"grade": "splendid"}, "All in all it is one of these"),
        ({"next_due": date(2001, 1, 1)}, "due after this one"),
        ({"new": (NewSaid("worn out"),)}, "Choose which kind of damage"),
        ({"new": (NewSaid("chip", size_mm=Decimal(-3)),)}, "A size is above zero"),
        ({"grade": ""}, "Say how it is all in all"),
    ],
)
def test_what_cannot_be_so_is_named_and_not_written(more: dict[str, Any], sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence):
        examined(builders.cast("2014.2"), **more)
    assert not Examination.objects.exists()


def test_it_was_not_examined_before_it_was_made() -> None:
    with pytest.raises(Refusal, match="It was not made before 1"):
        examined(builders.cast("2014.2", made_on="2014"), on=today().replace(year=2013, day=1))


def test_a_mark_outside_the_picture_writes_nothing() -> None:
    cast = builders.cast("2014.2")
    shot = picture(cast)
    with pytest.raises(Refusal, match="outside the picture") as refused:
        examined(cast, new=(chip(shot, mark=MarkSaid(shot, "point", "900,10")),))
    assert refused.value.reasons[0].field == "new/0/mark/position"
    assert not Examination.objects.exists()


def test_a_mark_on_the_photograph_of_another_cast_is_refused() -> None:
    other = picture(builders.cast("2016.1"))
    with pytest.raises(Refusal, match="of another thing"):
        examined(builders.cast("2014.2"), new=(chip(other),))


def test_what_is_in_parts_is_examined_in_its_parts() -> None:
    cast = builders.cast("2016.1")
    broken, whole = builders.piece(cast, "4", present=False), builders.piece(cast, "5")
    with pytest.raises(Hindered, match=r"2016\.1\.4 is in parts now"):
        examine(builders.ottilie(), Subject(cast, broken), said())
    assert examine(builders.ottilie(), Subject(cast, whole), said()).piece == whole


def test_a_finding_of_an_earlier_look_is_not_answered_twice() -> None:
    cast = builders.cast("2014.2")
    first = examined(cast, on=ago(60), new=(chip(),))
    examined(cast, on=ago(5), carried=answered(first))
    with pytest.raises(Hindered, match="Somebody examined it meanwhile"):
        examined(cast, carried=answered(first))


# what the house knows of it


def test_a_poor_cast_is_not_lent_and_a_good_one_is() -> None:
    cast = builders.cast("2014.2")
    poor = examined(cast, on=ago(9), grade="poor")
    assert "poor state" in what_hinders(Subject(cast), "lend")[0].sentence
    assert not what_hinders(Subject(cast), "move")
    examined(cast, grade="good", carried=answered(poor))
    assert not what_hinders(Subject(cast), "lend")


def test_today_asks_for_what_is_due_and_only_once() -> None:
    cast = builders.cast("2014.2")
    first = examined(cast, on=ago(100), next_due=ago(2))
    duties = [d for d in todays_work(builders.ottilie()) if "to be examined" in d.sentence]
    assert [(d.number, d.weight) for d in duties] == [("2014.2", "late")]
    examined(cast, carried=answered(first))
    assert not [d for d in todays_work(builders.ottilie()) if "to be examined" in d.sentence]


def test_a_piece_that_was_examined_does_not_answer_for_its_cast() -> None:
    cast = builders.cast("2016.1")
    examined(cast, on=ago(100), next_due=ago(2))
    examine(builders.ottilie(), Subject(cast, builders.piece(cast, "5")), said())
    assert [d.number for d in todays_work(builders.ottilie()) if "to be examined" in d.sentence] == ["2016.1"]


def test_history_and_facts_say_what_was_found_when() -> None:
    cast = builders.cast("2014.2")
    first = examined(cast, on=ago(60), new=(chip(),))
    examined(cast, grade="poor", carried=answered(first, "changed", grade="poor"))
    said_of_it = [
        e.sentence for e in history_of(builders.lenno(), Cast.objects.get(pk=cast.pk)) if "xamined" in e.sentence
    ]
    assert sorted(said_of_it) == [
        "Examined, routine, by the calendar: Fair. One new finding.",
        "Examined, routine, by the calendar: Poor. One changed.",
    ]
    at = first.signed_at.replace(hour=12) - timedelta(days=30)
    then = [f for f in facts(builders.lenno(), [cast], at) if f[1] == "condition"]
    assert then == [(cast.pk, "condition", {"grade": "fair", "examined_on": first.on.isoformat()})]


def test_two_examinations_are_joined_by_their_lines() -> None:
    cast = builders.cast("2014.2")
    first = examined(cast, on=ago(60), new=(chip(), NewSaid("crack")))
    one, two = first.findings.order_by("n")
    second = examined(cast, carried=(CarriedSaid(one.pk, "as it was"), CarriedSaid(two.pk, "gone")), new=(chip(),))
    pairs = reads.compared(
        reads.examination_at(builders.lenno(), first.pk), reads.examination_at(builders.lenno(), second.pk)
    )
    assert [(a and a.n, b and b.verdict) for a, b in pairs] == [(1, "as it was"), (2, "gone"), (None, "new")]


def test_every_term_of_damage_stands_once() -> None:
    assert len(TERMS) == len(set(TERMS))
    assert all(len(t) <= 40 for t in TERMS)
