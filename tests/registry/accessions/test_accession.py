"""A number is given in one press, or nothing is written at all."""

from __future__ import annotations

from datetime import timedelta

import pytest

from catalog.casts.actions import describe_cast
from catalog.casts.models import OldNumber
from catalog.ground.collection import today
from catalog.ground.numbers import last_number
from catalog.ground.refusal import Hindered, NotAllowed, Refusal, Stale
from registry.accessions import actions
from registry.accessions.models import Accession, Acquisition, LedgerLine, LineSource, Title
from registry.accessions.reads import lacks_of, members_of, still_lacking
from registry.accessions.said import AccessionSaid, CaseSaid, DecisionSaid, ExitSaid, TitleSaid
from registry.accessions.seal import commit_of
from tests import builders
from tests.registry.accessions.makers_accessions import again, brought_in, entry, kept, numbered

pytestmark = pytest.mark.django_db


def first_number() -> str:
    return f"{today().year}.1"


def test_an_own_dig_is_kept_by_the_standing_decision() -> None:
    cast = brought_in(excavation=builders.excavation("D-2026-5"))
    entered_as = cast.number
    made = actions.accession(builders.imke(), cast, AccessionSaid(title="clear"))
    assert (made.number, again(cast).number, again(cast).year) == (first_number(), first_number(), today().year)
    case = Acquisition.objects.get(cast=cast)
    assert (case.by_standing_decision, case.decision, case.minute) == (True, "accepted", "Minute 3 of 2010")
    assert OldNumber.objects.get(cast=cast).number == entered_as
    assert cast.entry_object.__class__.objects.get(cast=cast).state == "accessioned"


def test_the_line_says_what_came_in_and_seals_from_whom() -> None:
    cast = kept()
    entered_as = cast.number
    made = actions.accession(builders.imke(), cast, AccessionSaid(title="clear", title_paper="letter of 3 March"))
    members, source = members_of(made.line), LineSource.objects.get(line=made.line)
    assert members["number"] == f"TH {first_number()}"
    assert (members["entry"], members["pieces"], members["title"], members["act"]) == (
        entered_as,
        3,
        "clear",
        str(made.uid),
    )
    assert source.text == "gift of Marit Olde, the white house"
    assert members["from_commit"] == commit_of(bytes(source.salt), source.text)
    assert "Marit" not in bytes(made.line.raw).decode()
    opening = members_of(LedgerLine.objects.get(n=1))
    assert (opening["kind"], opening["title"], made.line.n) == ("opening", "Tarn Holm dune and marsh station", 2)


def test_a_gift_waits_for_the_decision_of_someone_else() -> None:
    cast = brought_in("offered", from_words="Marit Olde")
    with pytest.raises(Refusal, match="decision of someone else"):
        actions.accession(builders.imke(), cast, AccessionSaid(title="clear"))
    actions.propose(builders.imke(), cast, CaseSaid("gift"))
    with pytest.raises(Refusal, match="Imke Roodenburg proposed it"):
        actions.accession(builders.imke(), cast, AccessionSaid(title="clear"))
    with pytest.raises(NotAllowed):
        actions.decide(builders.imke(), cast, DecisionSaid())
    actions.decide(builders.tobias(), cast, DecisionSaid(minute="Minute 4"))
    assert actions.accession(builders.imke(), cast, AccessionSaid(title="clear")).number == first_number()


def test_nobody_decides_on_a_case_they_proposed_or_wrote_on() -> None:
    cast = brought_in("offered")
    actions.propose(builders.tobias(), cast, CaseSaid("gift", case="The only one"))
    with pytest.raises(NotAllowed, match="Nobody decides on what they proposed"):
        actions.decide(builders.tobias(), cast, DecisionSaid())
    other = brought_in("offered")
    actions.propose(builders.saar(), other, CaseSaid("gift"))
    actions.propose(builders.tobias(), other, CaseSaid("gift", case="Better said so"))
    with pytest.raises(NotAllowed, match="a case they wrote themselves"):
        actions.decide(builders.tobias(), other, DecisionSaid())
    assert Acquisition.objects.exclude(decision="").count() == 0


def test_a_decision_taken_elsewhere_comes_with_who_when_and_minute() -> None:
    cast = brought_in("offered", from_words="Marit Olde")
    case = CaseSaid("gift")
    for decided, field in [
        (DecisionSaid(by="", on=today(), minute="Minute 4"), "decided/by"),
        (DecisionSaid(by="Tobias Wren", minute="Minute 4"), "decided/on"),
        (DecisionSaid(by="Tobias Wren", on=today()), "decided/minute"),
        (DecisionSaid(by="imke  roodenburg", on=today(), minute="Minute 4"), "decided/by"),
        (DecisionSaid(by="Tobias Wren", on=today() + timedelta(days=2), minute="Minute 4"), "decided/on"),
    ]:
        with pytest.raises(Refusal) as refused:
            actions.accession(builders.imke(), cast, AccessionSaid("clear", case=case, decided=decided))
        assert field in [r.field for r in refused.value.reasons]
    right = DecisionSaid(by="Tobias Wren", on=today(), minute="Minute 4")
    actions.accession(builders.imke(), cast, AccessionSaid("clear", case=case, decided=right))
    kept_ = Acquisition.objects.get(cast=cast)
    assert (kept_.decider, kept_.minute, kept_.single_handed) == ("Tobias Wren", "Minute 4", False)


def test_a_collection_of_one_decides_single_handed_and_names_a_witness_later() -> None:
    builders.collection(alone=True, own_digs_kept=False)
    imke, cast = builders.imke(), brought_in()
    builders.account("Imke Roodenburg", "keeper")
    from catalog.people.doorkeeper import actor_for
    from catalog.people.models import Account, Role
    from tests.builders import by_hand, store

    account = Account.objects.get(name="Imke Roodenburg")
    with by_hand():
        store(Role(account=account, role="keeper", since=today()))
    imke = actor_for(account)
    actions.propose(imke, cast, CaseSaid("own excavation"))
    case = actions.decide(imke, cast, DecisionSaid())
    assert (case.single_handed, case.witness) == (True, "")
    assert actions.accession(imke, cast, AccessionSaid("clear")).number == first_number()
    with pytest.raises(Refusal, match="somebody else"):
        actions.name_witness(imke, cast, "Imke Roodenburg")
    assert actions.name_witness(imke, cast, "Jonna Beck, notary").witness == "Jonna Beck, notary"


def test_an_unknown_title_goes_in_with_its_lacks_and_stays_unknown() -> None:
    cast = brought_in("found in the collection")
    actions.propose(builders.imke(), cast, CaseSaid("found in the collection"))
    actions.decide(builders.tobias(), cast, DecisionSaid(minute="Minute 5"))
    made = actions.accession(builders.imke(), cast, AccessionSaid(title="unknown"))
    assert {lack["key"] for lack in made.lacks} >= {"source", "search", "animal", "photograph", "place"}
    assert LineSource.objects.get(line=made.line).text == "found in the collection, title unproven"
    assert members_of(made.line)["title"] == "unknown"
    assert [t.state for t in Title.objects.filter(cast=cast)] == ["unknown"]
    ((waiting, open_),) = still_lacking(builders.imke())
    assert waiting.number == made.number
    assert "search" in {lack.key for lack in open_}


def test_a_find_is_presumed_only_on_a_recorded_search_and_clear_only_on_a_paper() -> None:
    cast = brought_in("found in the collection")
    actions.propose(builders.imke(), cast, CaseSaid("found in the collection"))
    actions.decide(builders.tobias(), cast, DecisionSaid())
    for state in ("clear", "presumed"):
        with pytest.raises(Refusal, match="title is unknown until a paper shows it"):
            actions.accession(builders.imke(), cast, AccessionSaid(title=state))
    actions.propose(builders.saar(), cast, CaseSaid("found in the collection", search_record="Registers 1-3: nothing"))
    assert actions.accession(builders.imke(), cast, AccessionSaid(title="presumed")).number == first_number()


def test_what_is_missing_is_named_with_its_place_and_nothing_is_written() -> None:
    cast = brought_in(parts=None)
    before = again(cast).version
    with pytest.raises(Refusal) as refused:
        actions.accession(builders.imke(), cast, AccessionSaid())
    missing = refused.value.more["missing"]
    assert [m["what"] for m in missing] == ["parts", "title"]
    assert missing[0]["remedy"] == f"/casts/{cast.number}/change/"
    assert not LedgerLine.objects.exists(), "not even the opening line"
    assert not Acquisition.objects.exists()
    assert again(cast).version == before
    assert last_number(f"accession {today().year}") == 0
    describe_cast(builders.saar(), cast.pk, {"n_parts": 3})
    assert actions.accession(builders.imke(), again(cast), AccessionSaid("unknown")).number == first_number()


def test_an_accession_that_is_rolled_back_gives_its_number_back() -> None:
    from django.db import transaction

    cast = brought_in()

    class Fault(Exception):
        pass

    with pytest.raises(Fault), transaction.atomic():
        assert actions.accession(builders.imke(), cast, AccessionSaid("unknown")).number == first_number()
        raise Fault
    assert not LedgerLine.objects.exists()
    assert actions.accession(builders.imke(), again(cast), AccessionSaid("unknown")).number == first_number()


def test_a_cast_has_one_number_for_ever() -> None:
    made = numbered()
    with pytest.raises(Hindered, match="has its number already"):
        actions.accession(builders.imke(), made.cast, AccessionSaid("unknown"))


def test_what_is_closed_cannot_have_a_number() -> None:
    imke = builders.imke()
    went, refused, taught, same = (brought_in("offered") for _ in range(4))
    other = numbered().cast
    actions.give_back(imke, went, ExitSaid("not taken", "Marit Olde"))
    actions.refuse(imke, refused, "Not a nest")
    actions.keep_for_teaching(imke, taught, "For trying out resins")
    actions.same_as(imke, same, other)
    for cast in (went, refused, taught, same):
        with pytest.raises(Hindered, match="cannot have a number"):
            actions.accession(imke, again(cast), AccessionSaid("unknown"))
    with pytest.raises(Hindered, match="a loan to us"):
        actions.accession(imke, brought_in("for loan"), AccessionSaid("unknown"))
    assert Accession.objects.count() == 1


def test_all_objects_of_an_entry_are_numbered_in_one_press_or_none() -> None:
    made = entry("Two casts of one dig", n_objects=2)
    first, second = (thing.cast for thing in made.objects_of.order_by("index"))
    describe_cast(builders.saar(), first.pk, {"n_parts": 3})
    with pytest.raises(Refusal, match=f"{second.number}: How many parts came in") as refused:
        actions.accession_many(builders.imke(), made.pk, AccessionSaid("clear"))
    assert refused.value.more["missing"][0]["of"] == second.number
    assert not LedgerLine.objects.exists()
    describe_cast(builders.saar(), second.pk, {"n_parts": 1})
    both = actions.accession_many(builders.imke(), made.pk, AccessionSaid("clear"))
    assert [a.number for a in both] == [f"{today().year}.1", f"{today().year}.2"]
    with pytest.raises(Hindered, match="No object of this entry waits"):
        actions.accession_many(builders.imke(), made.pk, AccessionSaid("clear"))


def test_what_was_done_on_friday_says_so_in_its_line() -> None:
    friday = today() - timedelta(days=3)
    made = actions.accession(builders.imke(), brought_in(came_on=friday), AccessionSaid("clear", on=friday))
    assert (made.on, members_of(made.line)["date"]) == (friday, friday.isoformat())
    with pytest.raises(Refusal, match="has not come yet"):
        actions.accession(builders.imke(), brought_in(), AccessionSaid("clear", on=today() + timedelta(days=1)))


def test_only_a_registrar_gives_a_number() -> None:
    cast = brought_in()
    for actor in (builders.tobias(), builders.saar(), builders.ottilie(), builders.lenno()):
        with pytest.raises(NotAllowed, match="Only a registrar"):
            actions.accession(actor, cast, AccessionSaid("clear"))


def test_who_looks_at_an_older_version_is_shown_the_newer() -> None:
    cast = brought_in()
    describe_cast(builders.saar(), cast.pk, {"material": "plaster"})
    with pytest.raises(Stale):
        actions.accession(builders.imke(), cast, AccessionSaid("clear"), expected_version=1)


def test_an_offer_is_not_called_an_own_dig() -> None:
    cast = brought_in("offered")
    with pytest.raises(Refusal, match="It came in as “offered”"):
        actions.accession(builders.imke(), cast, AccessionSaid("clear", case=CaseSaid("own excavation")))


def test_where_there_is_no_standing_decision_an_own_dig_waits_too() -> None:
    builders.collection(own_digs_kept=False)
    cast = brought_in()
    with pytest.raises(Refusal, match="It is not proposed yet"):
        actions.accession(builders.imke(), cast, AccessionSaid("clear"))
    decided = DecisionSaid(by="Tobias Wren", on=today(), minute="Minute 6")
    assert actions.accession(builders.imke(), cast, AccessionSaid("clear", decided=decided)).number == first_number()


def test_a_refused_case_gives_no_number() -> None:
    cast = brought_in("offered")
    actions.propose(builders.saar(), cast, CaseSaid("gift"))
    with pytest.raises(Refusal, match="Write why it is refused"):
        actions.decide(builders.tobias(), cast, DecisionSaid("refused"))
    actions.decide(builders.tobias(), cast, DecisionSaid("refused", ground="We have three of them"))
    with pytest.raises(Hindered, match="closed as “refused”"):
        actions.accession(builders.imke(), cast, AccessionSaid("unknown"))


def test_the_lacks_are_sentences_with_who_and_where() -> None:
    cast = brought_in(parts=None, excavation=builders.excavation("D-2026-5"))
    found = {lack.key: lack for lack in lacks_of(builders.saar(), cast)}
    assert found["parts"].sentence == "How many parts came in?"
    assert found["parts"].holds_up
    assert not found["animal"].holds_up
    assert (found["permit"].there, found["permit"].href) == (False, "/excavations/D-2026-5/change/")
    assert found["decision"].there, "own excavations are kept by the standing decision"
    assert all(lack.there or (lack.href and lack.who and lack.way) for lack in found.values())


def test_a_title_changes_by_an_act_of_its_own_and_the_register_says_so() -> None:
    made = numbered()
    with pytest.raises(NotAllowed):
        actions.state_title(builders.tobias(), made.cast, TitleSaid("disputed", ground="a claim of 3 May"))
    with pytest.raises(Refusal, match="what shows it"):
        actions.state_title(builders.imke(), made.cast, TitleSaid("disputed"))
    actions.state_title(builders.imke(), made.cast, TitleSaid("disputed", ground="A claim of 3 May"))
    line = LedgerLine.objects.get(kind="title change")
    members = members_of(line)
    assert (members["was"], members["title"], members["ground"]) == ("unknown", "disputed", "A claim of 3 May")
    assert [t.state for t in Title.objects.filter(cast=made.cast).order_by("pk")] == ["unknown", "disputed"]


def test_a_stated_title_is_not_made_better_by_the_accession() -> None:
    cast = brought_in()
    actions.state_title(builders.imke(), cast, TitleSaid("disputed", ground="A claim"))
    with pytest.raises(Refusal, match="changed by an act of its own"):
        actions.accession(builders.imke(), cast, AccessionSaid("clear"))
    assert actions.accession(builders.imke(), cast, AccessionSaid()).number == first_number()
