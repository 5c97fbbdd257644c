"""The register only grows; what is changed behind its back is named."""

from __future__ import annotations

import io
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from catalog.ground import guards
from catalog.ground.acting import action
from catalog.ground.collection import today
from catalog.ground.numbers import last_number, never_below
from catalog.ground.refusal import Hindered, NotAllowed, Refusal
from catalog.ground.roles import Actor
from registry.accessions import actions
from registry.accessions.models import Accession, Checkpoint, LedgerHead, LedgerLine
from registry.accessions.reads import line_views, lines_for_list, members_of, proof_of, root_now, verify
from registry.accessions.said import AccessionSaid, CorrectionSaid, TranscribedSaid
from registry.accessions.seal import is_included, leaf, root
from tests import builders
from tests.registry.accessions.makers_accessions import again, brought_in, numbered

pytestmark = pytest.mark.django_db


@contextmanager
def behind_our_back() -> Iterator[Any]:
    """Somebody with a database tool, who took the guards off and puts them back."""
    _settled()
    guards.lift()
    with connection.cursor() as cursor:
        yield cursor
    _settled()
    guards.place()


def _settled() -> None:
    """PostgreSQL alters no table whose foreign keys still wait for the end of the transaction."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")


def command() -> tuple[int, str]:
    out = io.StringIO()
    try:
        call_command("verify_register", stdout=out)
    except SystemExit as end:
        return int(end.code or 0), out.getvalue()
    return 0, out.getvalue()


# growing


def test_lines_follow_one_another_and_each_is_sealed_into_all_before_it() -> None:
    numbered()
    numbered()
    lines = list(LedgerLine.objects.order_by("n"))
    assert [line.n for line in lines] == [1, 2, 3]
    for n, line in enumerate(lines, 1):
        assert bytes(line.leaf) == leaf(bytes(line.raw))
        assert bytes(line.head) == root([leaf(bytes(one.raw)) for one in lines[:n]])
    assert LedgerHead.objects.get().size == 3


def test_the_database_itself_refuses_to_change_a_line() -> None:
    numbered()
    for statement in (
        "UPDATE registry_ledgerline SET number = '2026.9' WHERE n = 2",
        "DELETE FROM registry_ledgerline WHERE n = 2",
        "UPDATE registry_accession SET number = '2026.9'",
    ):
        with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    assert verify().ok


def test_the_last_number_on_paper_is_never_given_again_and_leaves_no_gap() -> None:
    year = today().year

    @action("setting.change")
    def welcome(actor: Actor) -> None:
        never_below(f"accession {year}", 14)

    welcome(builders.imke())
    assert numbered().number == f"{year}.15"
    assert members_of(LedgerLine.objects.get(n=1))["last_on_paper"] == 14
    assert verify().ok
    code, out = command()
    assert (code, out.split()[0]) == (0, "2")


def test_the_command_prints_the_count_and_the_root() -> None:
    numbered()
    code, out = command()
    assert (code, out.split()[:2]) == (0, ["2", root_now().hex()])


def test_a_register_without_a_line_stands() -> None:
    assert verify().ok
    assert command()[0] == 0


# put right


def test_a_correction_names_the_line_it_puts_right_and_the_next_one_the_correction() -> None:
    made = numbered()
    imke = builders.imke()
    first = actions.correct_line(
        imke, made.line.n, CorrectionSaid("object", "Zinc cast of a shaft", "analysis of 30 March")
    )
    second = actions.correct_line(imke, made.line.n, CorrectionSaid("object", "Tin cast of a shaft", "second analysis"))
    one, two = members_of(first), members_of(second)
    assert (one["corrects"], one["was"], one["is"]) == (2, "Plaster cast of a branching burrow", "Zinc cast of a shaft")
    assert (two["corrects"], two["was"], two["is"]) == (3, "Zinc cast of a shaft", "Tin cast of a shaft")
    assert members_of(made.line) == members_of(LedgerLine.objects.get(n=2))
    views = {view.n: view for view in line_views(lines_for_list(imke))}
    assert (views[2].corrected_by, views[3].corrected_by) == ((3,), (4,))
    assert (
        views[3].words
        == "Correction of line 2: the object is Zinc cast of a shaft, not Plaster cast of a branching burrow."
    )
    assert verify().ok


def test_a_count_is_corrected_as_a_figure_and_a_number_never() -> None:
    made, imke = numbered(), builders.imke()
    line = actions.correct_line(imke, made.line.n, CorrectionSaid("pieces", "4", "one lay under the tray"))
    assert (members_of(line)["was"], members_of(line)["is"]) == (3, 4)
    for said, sentence in [
        (CorrectionSaid("number", "2026.9", "slip"), "A wrong number is made void"),
        (CorrectionSaid("pieces", "four", "slip"), "in figures"),
        (CorrectionSaid("pieces", "4", "slip"), "says already"),
        (CorrectionSaid("object", "Another", ""), "Write why"),
    ]:
        with pytest.raises(Refusal, match=sentence):
            actions.correct_line(imke, made.line.n, said)
    with pytest.raises(NotAllowed):
        actions.correct_line(builders.tobias(), made.line.n, CorrectionSaid("pieces", "5", "x"))


def test_a_number_given_by_hand_is_closed_and_stays_used() -> None:
    numbered()
    year = today().year
    line = actions.void_number(builders.imke(), f"TH {year}.2", "Label found on an object; the database was restored")
    assert (line.number, members_of(line)["number"]) == (f"{year}.2", f"TH {year}.2")
    assert numbered().number == f"{year}.3"
    assert verify().ok
    with pytest.raises(Refusal, match="has its line in the register already"):
        actions.void_number(builders.imke(), f"{year}.1", "slip")


# taken over


def test_a_cast_of_an_older_register_keeps_its_number_and_date() -> None:
    said = TranscribedSaid(
        "2011.3",
        "Plaster cast, nest of Colletes cunicularius, 212 pieces",
        "Register book 1",
        "14",
        "3",
        "2011",
        "clear",
    )
    line = actions.transcribe_line(builders.imke(), said)
    made = Accession.objects.get(number="2011.3")
    assert (made.on, made.dated, made.taken_over_from) == (None, "2011", "Register book 1, page 14, entry 3")
    assert (made.cast.number, made.cast.year, made.cast.description) == ("2011.3", 2011, said.object)
    members = members_of(line)
    assert (members["number"], members["date"]) == ("TH 2011.3", "2011")
    assert members["source"]["book"] == "Register book 1"
    assert verify().ok, "years before the opening may have gaps"


def test_an_entered_cast_takes_its_older_number_by_such_a_line() -> None:
    cast = brought_in("found in the collection")
    actions.transcribe_line(
        builders.imke(), TranscribedSaid("2014.2", "Resin cast", "Book 1", date="2014-05-06", cast=cast)
    )
    made = Accession.objects.get(cast=cast)
    assert (again(cast).number, made.on.isoformat()) == ("2014.2", "2014-05-06")
    assert cast.entry_object.__class__.objects.get(cast=cast).state == "accessioned"
    with pytest.raises(Hindered, match="has its number already"):
        actions.accession(builders.imke(), cast, AccessionSaid("unknown"))


def test_an_older_line_is_taken_over_once_and_lifts_the_counter() -> None:
    imke, year = builders.imke(), today().year
    actions.transcribe_line(imke, TranscribedSaid(f"{year}.1", "Wax cast", "Book 2"))
    with pytest.raises(Refusal, match="stands in line 2"):
        actions.transcribe_line(imke, TranscribedSaid(f"{year}.1", "Wax cast", "Book 2", gone=True))
    assert numbered().number == f"{year}.2"
    for said, field in [
        (TranscribedSaid("", "Wax cast", "Book 2"), "number"),
        (TranscribedSaid("2012.1", "", "Book 2"), "object"),
        (TranscribedSaid("2012.1", "Wax cast", ""), "book"),
        (TranscribedSaid("2012.1", "Wax cast", "Book 2", date="2012-02-31"), "date"),
        (TranscribedSaid(f"{year + 1}.1", "Wax cast", "Book 2"), "number"),
    ]:
        with pytest.raises(Refusal) as refused:
            actions.transcribe_line(imke, said)
        assert refused.value.reasons[0].field == field
    assert last_number(f"accession {year}") == 2


def test_a_line_whose_object_is_gone_stands_alone() -> None:
    line = actions.transcribe_line(builders.imke(), TranscribedSaid("2009.1", "Lost in the fire", "Book 1", gone=True))
    assert (line.cast, Accession.objects.exists()) == (None, False)
    assert verify().ok


# the clock


def test_a_line_is_never_earlier_than_the_one_before() -> None:
    noon = datetime(2026, 6, 11, 12, 0, 30, tzinfo=UTC)
    with time_machine.travel(noon, tick=False):
        first = numbered()
    with time_machine.travel(noon - timedelta(seconds=20), tick=False):
        assert numbered().line.at == first.line.at


@pytest.mark.parametrize("gap", [timedelta(minutes=-2), timedelta(days=800)])
def test_a_clock_that_cannot_be_right_stops_the_numbers(gap: timedelta) -> None:
    noon = datetime(2026, 6, 11, 12, tzinfo=UTC)
    with time_machine.travel(noon, tick=False):
        numbered()
    with time_machine.travel(noon + gap, tick=False):
        cast = brought_in()
        with pytest.raises(Hindered, match="No number is given until the clock is mended") as refused:
            actions.accession(builders.imke(), cast, AccessionSaid("unknown"))
        assert refused.value.reasons[0].field == "clock_is_right"
        assert LedgerLine.objects.count() == 2
        line = actions.accession(builders.imke(), cast, AccessionSaid("unknown", clock_is_right=True)).line
        assert line.at == max(noon, noon + gap)


def test_new_year_begins_again_at_one() -> None:
    with time_machine.travel(datetime(2026, 12, 31, 22, 30, tzinfo=UTC), tick=False):
        assert numbered().number == "2026.1"
    with time_machine.travel(datetime(2026, 12, 31, 23, 30, tzinfo=UTC), tick=False):
        assert numbered().number == "2027.1", "the year of the collection's own clock"
    assert verify().ok


# checkpoints


def test_a_checkpoint_stands_after_fifty_lines_and_each_night_the_register_grew() -> None:
    imke = builders.imke()
    for n in range(49):
        actions.transcribe_line(imke, TranscribedSaid(f"2001.{n + 1}", "Cast", "Book 1", gone=True))
    kept = Checkpoint.objects.get()
    assert (kept.size, kept.text.splitlines()[:2]) == (50, ["127.0.0.1/TH", "50"])
    actions.nightly_checkpoint()
    assert Checkpoint.objects.count() == 1, "nothing was written since"
    numbered()
    actions.nightly_checkpoint()
    assert Checkpoint.objects.order_by("-pk").first().size == 51
    assert actions.issue_checkpoint(imke).size == 51
    assert verify().ok


def test_a_checkpoint_goes_to_the_witnesses_and_is_signed_with_the_key(
    tmp_path: Path, settings: Any, mailoutbox: list[Any]
) -> None:
    from registry.accessions.seal import is_signed, key_text, public_of, read_checkpoint
    from registry.accessions.tasks import mail_checkpoint

    secret = bytes(range(32))
    key = tmp_path / "register.key"
    key.write_bytes(secret)
    key.chmod(0o600)
    settings.REGISTER_KEY = str(key)
    builders.collection(checkpoint_mail="notary@lowshore.example, rolf@fennevik.example")
    numbered()
    kept = actions.issue_checkpoint(builders.imke())
    read = read_checkpoint(kept.text)
    assert is_signed(read.body, read.signatures, key_text(read.origin, public_of(secret)))
    from django_tasks_db.models import DBTaskResult

    assert DBTaskResult.objects.count() == 1
    assert mail_checkpoint.call(kept.pk) == 1
    assert mailoutbox[0].to == ["notary@lowshore.example", "rolf@fennevik.example"]
    assert kept.text in mailoutbox[0].body
    key.chmod(0o644)
    assert "—" not in actions.issue_checkpoint(builders.imke()).text, "a key that others may read is not used"


def test_the_nightly_check_is_kept_for_the_register_page() -> None:
    from registry.accessions.reads import checked_last

    numbered()
    actions.nightly_check()
    kept = checked_last()
    assert (kept.says, kept.result) == ("stands", "All 2 lines stand.")


# proofs


def test_a_line_is_shown_with_its_proof() -> None:
    for _ in range(4):
        numbered()
    line = LedgerLine.objects.get(n=3)
    proof, head = proof_of(3)
    assert (proof.line, proof.size, head) == (3, 5, root_now())
    assert is_included(bytes(line.leaf), 2, 5, [one for _, one in proof.steps], head)


def test_the_lines_go_out_and_stand_without_us(tmp_path: Path) -> None:
    for _ in range(3):
        numbered()
    actions.correct_line(builders.imke(), 3, CorrectionSaid("object", "Zoë’s “Typhœus”\n2nd line 🐞", "Å. Bøe"))
    call_command("export_register", to=str(tmp_path / "lines.jsonl"), stdout=io.StringIO())
    (tmp_path / "checkpoint.txt").write_text(actions.issue_checkpoint(builders.imke()).text, "utf-8")
    alone = Path(__file__).parents[3] / "deploy" / "verify_register.py"
    words = [sys.executable, "-I", str(alone), "lines.jsonl", "--checkpoint", "checkpoint.txt"]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True, timeout=60)
    assert (done.returncode, "5 lines stand" in done.stdout) == (0, True), done.stdout + done.stderr


# changed behind our back


def _set(statement: str, *values: Any) -> Callable[[Any], None]:
    return lambda cursor: cursor.execute(statement, values)


def _other_bytes(cursor: Any) -> None:
    raw = bytes(LedgerLine.objects.get(n=3).raw).replace(b"branching", b"straight ")
    cursor.execute("UPDATE registry_ledgerline SET raw = %s WHERE n = 3", [raw])


def _other_leaf_too(cursor: Any) -> None:
    _other_bytes(cursor)
    with connection.cursor() as other:
        other.execute("SELECT raw FROM registry_ledgerline WHERE n = 3")
        raw = bytes(other.fetchone()[0])
    cursor.execute("UPDATE registry_ledgerline SET leaf = %s WHERE n = 3", [leaf(raw)])


@pytest.mark.parametrize(
    ("deed", "line", "sentence"),
    [
        (_other_bytes, "3", "Line 3 does not stand: its bytes give leaf"),
        (_other_leaf_too, "3", "Line 3: head differs"),
        (_set("UPDATE registry_ledgerline SET number = '2026.99' WHERE n = 3"), "3", "Line 3: number shown 2026.99"),
        (_set("UPDATE registry_ledgerline SET object = 'gold' WHERE n = 2"), "2", "Line 2: object shown gold"),
        (_set("UPDATE registry_ledgerline SET kind = 'void' WHERE n = 3"), "3", "Line 3: kind shown void"),
        (_set("UPDATE registry_accession SET number = '2026.98' WHERE id = (SELECT MAX(id) FROM registry_accession)"), "4", "Line 4: the accession says"),
        (_set("UPDATE catalog_cast SET number = '2026.97' WHERE id = (SELECT MAX(cast_id) FROM registry_accession)"), "4", "Line 4: the cast goes by 2026.97"),
        (_set("UPDATE registry_linesource SET text = 'gift of nobody' WHERE id = (SELECT MAX(id) FROM registry_linesource)"), "4", "Line 4: the source beside it"),
        (_set("DELETE FROM registry_linesource"), "0", ""),
        (_set("UPDATE registry_ledgerhead SET size = 3"), "4", "register has 4 lines, its head says 3"),
    ],
)  # fmt: skip
def test_what_was_changed_behind_our_back_is_named(deed: Callable[[Any], None], line: str, sentence: str) -> None:
    for _ in range(3):
        numbered()
    assert command()[0] == 0
    with behind_our_back() as cursor:
        deed(cursor)
    code, out = command()
    if not sentence:
        assert code == 0, "a source may be erased, the seal stands"
        return
    assert (code, out.splitlines()[0]) == (1, line)
    assert sentence in out


def test_a_line_that_was_taken_away_is_missed_by_the_checkpoint() -> None:
    for _ in range(3):
        numbered()
    actions.issue_checkpoint(builders.imke())
    with behind_our_back() as cursor:
        cursor.execute(
            "DELETE FROM registry_linesource WHERE line_id = (SELECT id FROM registry_ledgerline WHERE n = 4)"
        )
        cursor.execute(
            "DELETE FROM registry_accession WHERE line_id = (SELECT id FROM registry_ledgerline WHERE n = 4)"
        )
        cursor.execute("DELETE FROM registry_ledgerline WHERE n = 4")
        cursor.execute("UPDATE registry_ledgerhead SET size = 3")
    code, out = command()
    assert (code, out.splitlines()[0]) == (1, "4")
    assert "behind its checkpoint" in out


def test_a_database_without_its_guards_says_so() -> None:
    numbered()
    with behind_our_back():
        code, out = command()
    assert code == 1
    assert "no longer guards its lines" in out


def test_lines_in_words_take_as_many_queries_for_many_as_for_few(django_assert_num_queries: Any) -> None:
    imke = builders.imke()
    for n in range(12):
        actions.transcribe_line(imke, TranscribedSaid(f"2001.{n + 1}", "Cast", "Book 1", gone=True))
    for most in (3, 12):
        with django_assert_num_queries(3):
            line_views(lines_for_list(imke).order_by("-n")[:most])


def test_what_is_written_in_the_line_is_when_it_was_written() -> None:
    before = timezone.now() - timedelta(seconds=1)
    at = numbered().line.at
    assert before <= at <= timezone.now()
