"""Several people at once: real threads, real commits, both databases."""

from __future__ import annotations

from typing import Any

import pytest

from catalog.ground.collection import today
from catalog.ground.refusal import Refusal
from registry.accessions import actions
from registry.accessions.models import Accession, Entry, LedgerLine
from registry.accessions.reads import verify
from registry.accessions.said import AccessionSaid, CorrectionSaid, EntrySaid
from tests import builders
from tests.harness.at_once import at_once
from tests.registry.accessions.makers_accessions import brought_in, numbered

pytestmark = pytest.mark.django_db(transaction=True)


def test_eight_accessions_at_once_have_eight_numbers() -> None:
    imke = builders.imke()
    casts = [brought_in() for _ in range(24)]

    def three(mine: list[Any]) -> list[str]:
        given = []
        for n, cast in enumerate(mine):
            said = AccessionSaid("" if n == 1 else "unknown")  # the second of each has no title and is refused
            if n == 1:
                with pytest.raises(Refusal, match="The state of title"):
                    actions.accession(imke, cast, said)
            else:
                given.append(actions.accession(imke, cast, said).number)
        return given

    results = at_once([lambda mine=casts[n * 3 : n * 3 + 3]: three(mine) for n in range(8)])
    assert all(isinstance(r, list) for r in results), results
    given = sorted((number for r in results for number in r), key=lambda number: int(number.split(".")[1]))
    assert given == [f"{today().year}.{n}" for n in range(1, 17)]
    assert sorted(LedgerLine.objects.values_list("n", flat=True)) == list(range(1, 18))
    found = verify(deep=True)
    assert (found.ok, found.count) == (True, 17), found.sentence


def test_two_who_write_the_first_line_at_once_open_the_register_once() -> None:
    imke, casts = builders.imke(), [brought_in(), brought_in()]
    results = at_once([lambda c=c: actions.accession(imke, c, AccessionSaid("unknown")).number for c in casts])
    assert sorted(results) == [f"{today().year}.1", f"{today().year}.2"]
    assert LedgerLine.objects.filter(kind="opening").count() == 1


def test_two_who_number_the_same_cast_at_once_give_it_one_number() -> None:
    imke, cast = builders.imke(), brought_in()
    results = at_once([lambda: actions.accession(imke, cast, AccessionSaid("unknown")).number for _ in range(4)])
    assert [r for r in results if isinstance(r, str)] == [f"{today().year}.1"]
    assert sum("has its number already" in str(r) for r in results) == 3
    assert Accession.objects.count() == 1


def test_eight_entries_at_once_have_eight_numbers() -> None:
    saar = builders.saar()
    results = at_once([lambda n=n: actions.enter(saar, EntrySaid(f"Box {n}", "offered")).number for n in range(8)])
    assert sorted(results, key=lambda number: int(number.rsplit("-", 1)[1])) == [
        f"E-{today().year}-{n}" for n in range(1, 9)
    ]
    assert Entry.objects.count() == 8


def test_two_corrections_at_once_form_one_chain() -> None:
    made, imke = numbered(), builders.imke()
    results = at_once(
        [
            lambda n=n: actions.correct_line(imke, made.line.n, CorrectionSaid("pieces", str(10 + n), "counted again"))
            for n in range(3)
        ]
    )
    assert sorted(line.corrects for line in results) == [2, 3, 4]
    assert verify().ok
