"""Recording a breakage: parts, masses, places, joins, damage, several at once, taking it back."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from catalog.casts.actions.faces import add_face
from catalog.casts.actions.joins import join_faces
from catalog.casts.models import CrumbLot, Join, Piece
from catalog.casts.subject import Subject, what_hinders
from catalog.ground.asks import bearer_of, history_of, todays_work
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, NotAllowed, Refusal
from registry.condition.actions import (
    decide_incident,
    place_loose,
    record_breakage,
    take_back_incident,
    weigh_parts,
)
from registry.condition.models import Breakage, Incident
from registry.condition.reads import breakages as broken
from registry.condition.reads import incidents as reads
from registry.condition.said import BodySaid, BreakageSaid, DecisionSaid, IncidentSaid, LooseSaid, PartSaid
from registry.places.actions import move, take_custody
from registry.places.models import Movement
from registry.places.reads import place_now
from tests import builders
from tests.registry.condition.makers_incidents import broke, parts, shrimp
from tests.registry.places.makers_places import put, tree

pytestmark = pytest.mark.django_db


def test_a_piece_breaks_and_its_parts_are_numbered_below_it() -> None:
    _, piece = shrimp()
    done = broke(piece, "120.4", "88.1", crumbs_g=Decimal("3.2"), lost_g=Decimal(0))
    piece.refresh_from_db()
    assert not piece.present
    assert done.incident.number == f"I-{today().year}-1"
    assert [p.piece.number for p in done.breakages[0].parts.all() if p.piece] == ["2016.1.4.1", "2016.1.4.2"]
    assert done.consequences[0] == "2016.1.4 is now 2016.1.4.1 and 2016.1.4.2."
    assert CrumbLot.objects.get(piece=piece).mass_g == Decimal("3.2")
    assert (done.breakages[0].verdict, done.breakages[0].difference_g) == ("adds up", Decimal("0.1"))


def test_what_does_not_add_up_is_said_with_the_difference() -> None:
    # 250.0 = 120.4 + 88.1 + 40.2 with u .1 each: difference 1.3, E_n 3.25 (worked out in exact fractions, no source)
    _, piece = shrimp(mass_g=Decimal("250.0"))
    done = broke(piece, "120.4", "88.1", "40.2")
    (b,) = done.breakages
    assert (b.verdict, b.difference_g, b.difference_u_g) == ("unexplained", Decimal("1.3"), Decimal("0.2"))
    assert any("not accounted for" in line for line in done.consequences)
    assert Breakage.objects.get().difference_g == Decimal("1.3")


def test_parts_weighed_later_are_balanced_then() -> None:
    _, piece = shrimp()
    done = broke(piece, None, None, None)
    incident = reads.incident_at(builders.saar(), done.incident.number)
    waiting = broken.unweighed(incident)
    assert [p.piece.suffix for p in waiting if p.piece] == ["4.1", "4.2", "4.3"]
    assert broken.told_of(incident)[0]["balance"].verdict == "no verdict yet"
    masses = {p.piece_id: (Decimal(m), Decimal("0.1")) for p, m in zip(waiting, ("100", "80", "31.7"), strict=True)}
    weigh_parts(builders.saar(), incident.pk, masses, state="constant")  # type: ignore[arg-type]
    incident = reads.incident_at(builders.saar(), done.incident.number)
    assert broken.unweighed(incident) == []
    assert broken.told_of(incident)[0]["balance"].verdict == "adds up"


def test_a_later_damage_of_a_part_does_not_unbalance_its_parent() -> None:
    _, piece = shrimp()
    done = broke(piece, None, "88.1", crumbs_g=Decimal("3.2"))
    first = Piece.objects.get(suffix="4.1")
    weigh_parts(builders.saar(), done.incident.pk, {first.pk: (Decimal("120.4"), Decimal("0.1"))}, state="constant")
    first.refresh_from_db()
    broke(first, "110.0", one_body=True, crumbs_g=Decimal("10.3"))
    incident = reads.incident_at(builders.saar(), done.incident.number)
    assert broken.told_of(incident)[0]["parts"][0]["mass_g"] == Decimal("120.4")
    assert broken.told_of(incident)[0]["balance"].verdict == "adds up"


def test_place_and_hands_at_that_instant_are_kept_and_parts_stand_where_it_stood() -> None:
    places = tree()
    cast, piece = shrimp()
    put(cast, places["B-3"], days_ago=5)
    move(builders.saar(), Subject(cast, piece), places["K-12"])
    done = broke(piece, "120.4", "88.1")
    subject = done.incident.subjects.get()
    assert (subject.place, subject.ours) == (places["K-12"], True)
    part = Piece.objects.get(suffix="4.1")
    assert place_now(Subject(cast, part)) == places["K-12"]
    assert Movement.objects.get(piece=part).because == "broke from 2016.1.4"
    assert "Two parts stand in K-12." in done.consequences


def test_what_is_in_other_hands_breaks_like_any_other() -> None:
    cast, piece = shrimp()
    lender = builders.person("Museum of the Low Shore", kind="body")
    take_custody(builders.imke(), cast, holder=lender, ours=False)
    subject = broke(piece, "120.4", "88.1").incident.subjects.get()
    assert subject.hands == "the hands of Museum of the Low Shore"


def test_a_corner_lost_keeps_the_number() -> None:
    _, piece = shrimp()
    done = broke(piece, "205.0", one_body=True, crumbs_g=Decimal("6.7"))
    piece.refresh_from_db()
    assert (done.incident.kind, piece.present, piece.mass_g) == ("damage", True, Decimal("205.0"))
    assert not Piece.objects.filter(parent=piece).exists()
    assert done.breakages[0].mass_before_g == Decimal("211.8")
    incident = take_back_incident(builders.saar(), done.incident.pk, "another piece")
    piece.refresh_from_db()
    assert (incident.standing, piece.mass_g, piece.mass_state) == ("taken back", Decimal("211.8"), "constant")


def test_a_small_cast_without_pieces_breaks_into_one_and_two() -> None:
    cast = builders.cast("2022.1", mass_g=Decimal("300"))
    done = record_breakage(
        builders.saar(), BreakageSaid(IncidentSaid(), (BodySaid(Subject(cast), parts("200", "100")),))
    )
    assert [p.piece.number for p in done.breakages[0].parts.all() if p.piece] == ["2022.1.1", "2022.1.2"]
    with pytest.raises(Hindered, match=r"2022\.1 broke on .* Its parts are 2022\.1\.1 and 2022\.1\.2"):
        record_breakage(builders.saar(), BreakageSaid(IncidentSaid(), (BodySaid(Subject(cast), parts("1", "2")),)))


def test_a_small_cast_taken_back_can_break_again_with_new_numbers() -> None:
    cast = builders.cast("2022.1", mass_g=Decimal("300"))
    said = BreakageSaid(IncidentSaid(), (BodySaid(Subject(cast), parts("200", "100")),))
    take_back_incident(builders.saar(), record_breakage(builders.saar(), said).incident.pk, "another cast")
    again = record_breakage(builders.saar(), said)
    assert [p.piece.number for p in again.breakages[0].parts.all() if p.piece] == ["2022.1.3", "2022.1.4"]


def _joined(cast: Any, one: Piece, two: Piece) -> Join:
    saar = builders.saar()
    return join_faces(saar, add_face(saar, one), add_face(saar, two), state="dry fit", on=date(2020, 1, 2))


def test_a_cast_comes_apart_along_a_join_and_no_piece_breaks() -> None:
    cast, piece = shrimp()
    other = builders.piece(cast, "5")
    join = _joined(cast, piece, other)
    done = record_breakage(builders.saar(), BreakageSaid(IncidentSaid(how="mount"), joins=(join,)))
    join.refresh_from_db()
    piece.refresh_from_db()
    assert (join.state, piece.present, done.incident.kind) == ("failed", True, "breakage")
    assert reads.numbers_of(done.incident) == ["2016.1.4", "2016.1.5"]
    take_back_incident(builders.saar(), done.incident.pk, "it holds")
    join.refresh_from_db()
    assert join.state == "dry fit"


def test_a_join_is_asked_for_when_nobody_said_which_part_carries_the_face() -> None:
    cast, piece = shrimp()
    _joined(cast, piece, builders.piece(cast, "5"))
    done = broke(piece, "120.4", "88.1")
    incident = reads.incident_at(builders.saar(), done.incident.number)
    assert [f.number for f in broken.open_questions(incident)] == ["2016.1.4/a"]
    assert any("not known yet" in line for line in done.consequences)


def test_a_face_named_goes_with_its_part() -> None:
    cast, piece = shrimp()
    join = _joined(cast, piece, builders.piece(cast, "5"))
    done = broke(piece, "120.4", "88.1", faces_to={"a": 2}, fits=((1, 2),))
    join.refresh_from_db()
    assert join.face_a.piece.number == "2016.1.4.2"
    assert broken.open_questions(reads.incident_at(builders.saar(), done.incident.number)) == []
    assert Join.objects.filter(from_breakage=True, state="dry fit").count() == 1


def test_a_fallen_tray_leaves_fragments_that_nobody_can_place_until_somebody_can() -> None:
    cast, piece = shrimp()
    other = builders.piece(cast, "5", mass_g=Decimal("90"), mass_state="constant")
    bodies = (BodySaid(Subject(cast, piece)), BodySaid(Subject(cast, other), parts("50", "40")))
    said = BreakageSaid(IncidentSaid(how="fell"), bodies, loose=LooseSaid(3, Decimal("210"), "constant"))
    done = record_breakage(builders.saar(), said)
    piece.refresh_from_db()
    assert not piece.present
    assert not piece.children.exists()
    assert "Three fragments, 210\u202fg, wait until somebody knows what they broke from." in done.consequences
    assert any("3 fragments" in d.sentence or "Three fragments" in d.sentence for d in todays_work(builders.saar()))
    with pytest.raises(Refusal, match=r"Write at most 3"):
        place_loose(builders.saar(), done.incident.pk, Subject(cast, piece), parts(None, None, None, None))
    made = place_loose(builders.saar(), done.incident.pk, Subject(cast, piece), parts("120", "60"))
    assert [p.number for p in made] == ["2016.1.4.1", "2016.1.4.2"]
    done.incident.loose.refresh_from_db()
    assert (done.incident.loose.n, done.incident.loose.mass_g) == (1, Decimal("30"))
    with pytest.raises(Refusal, match="fragments of its loose lot were placed"):
        take_back_incident(builders.saar(), done.incident.pk, "wrong tray")


def test_recorded_wrongly_it_is_taken_back_and_the_number_stays() -> None:
    _, piece = shrimp()
    done = broke(piece, "120.4", "88.1")
    with pytest.raises(Refusal, match="Only who recorded it, or a registrar"):
        take_back_incident(builders.ottilie(), done.incident.pk, "it was another")
    incident = take_back_incident(builders.imke(), done.incident.pk, "it was 2016.1.5")
    piece.refresh_from_db()
    assert piece.present
    assert (incident.standing, incident.taken_back_why) == ("taken back", "it was 2016.1.5")
    assert what_hinders(Subject(piece.cast, piece), "lend") == []
    again = broke(piece, "120.4", "88.1")
    assert again.incident.number.endswith("-2")


def test_what_was_built_on_it_stands_in_the_way_and_is_named() -> None:
    _, piece = shrimp()
    done = broke(piece, "120.4", "88.1")
    broke(Piece.objects.get(suffix="4.1"), "60", "60")
    with pytest.raises(Hindered, match=r"It cannot be taken back: 2016\.1\.4\.1 broke or was damaged on"):
        take_back_incident(builders.saar(), done.incident.pk, "wrong")


def test_a_part_moved_since_stands_in_the_way() -> None:
    places = tree()
    cast, piece = shrimp()
    put(cast, places["B-3"], days_ago=5)
    done = broke(piece, "120.4", "88.1")
    move(builders.saar(), Subject(cast, Piece.objects.get(suffix="4.2")), places["K-12"])
    with pytest.raises(Hindered, match=r"2016\.1\.4\.2 was moved on"):
        take_back_incident(builders.saar(), done.incident.pk, "wrong")


@pytest.mark.parametrize(
    "said, sentence",
    [
        (IncidentSaid(noticed_on=date(2016, 6, 10)), r"is before 2016\.1\.4 came out of the ground"),
        (IncidentSaid(noticed_on=date(2999, 1, 1)), "has not come yet"),
        (IncidentSaid(how="sat on"), "How it happened is one of these"),
        (IncidentSaid(noticed_on=date(2020, 1, 1), happened_on="2021"), "it happened then, or before"),
    ],
)
def test_a_day_or_way_that_cannot_be_is_named_and_nothing_is_written(said: IncidentSaid, sentence: str) -> None:
    _, piece = shrimp()
    with pytest.raises(Refusal, match=sentence):
        broke(piece, "120.4", "88.1", incident=said)
    assert not Incident.objects.exists()
    assert Piece.objects.get(pk=piece.pk).present


def test_what_broke_is_not_broken_again() -> None:
    _, piece = shrimp()
    broke(piece, "120.4", "88.1")
    with pytest.raises(Hindered, match=r"2016\.1\.4 broke on .* Its parts are 2016\.1\.4\.1 and 2016\.1\.4\.2"):
        broke(piece, "120.4", "88.1")
    assert Incident.objects.count() == 1


def test_what_broke_is_not_lent_until_the_keeper_has_closed_it() -> None:
    cast, piece = shrimp()
    done = broke(piece, "120.4", "88.1")
    (reason,) = [r for r in what_hinders(Subject(cast), "lend") if "keeper" in r.sentence]
    assert reason.sentence.startswith("2016.1.4 cannot be lent: it broke on ")
    with pytest.raises(NotAllowed):
        decide_incident(builders.saar(), done.incident.pk, DecisionSaid(lesson="carry the tray"))
    said = DecisionSaid(claim=False, treatment_wanted=True, lesson="carry the tray")
    incident = decide_incident(builders.tobias(), done.incident.pk, said)
    assert (incident.standing, incident.treatment_wanted) == ("closed", True)
    assert not [r for r in what_hinders(Subject(cast), "lend") if "keeper" in r.sentence]


def test_history_number_and_today_know_of_it() -> None:
    cast, piece = shrimp()
    done = broke(piece, "120.4", None)
    said = [e.sentence for e in history_of(builders.saar(), cast)]
    assert "2016.1.4 broke (it fell)." in said
    assert [b.title for b in bearer_of(builders.saar(), done.incident.number)] == ["2016.1.4 broke"]
    waits = [d.sentence for d in todays_work(builders.saar())]
    assert "One part of 2016.1.4 waits for the balance." in waits
    assert any("Decide what follows" in d.sentence for d in todays_work(builders.tobias()))


def test_parts_may_carry_more_than_a_mass() -> None:
    _, piece = shrimp()
    body = BodySaid(Subject(piece.cast, piece), (PartSaid(kind="chamber", note="the larger"), PartSaid()))
    record_breakage(builders.saar(), BreakageSaid(IncidentSaid(noticed_on=today() - timedelta(days=3)), (body,)))
    part = Piece.objects.get(suffix="4.1")
    assert (part.kind, part.note, part.parent) == ("chamber", "the larger", piece)
