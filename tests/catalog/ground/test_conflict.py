"""Two people, one record."""

from __future__ import annotations

import pytest

from catalog.casts.actions import describe_cast, record_cast
from catalog.ground.conflict import meeting, settled
from catalog.ground.past import changes_of
from catalog.ground.refusal import Stale
from tests import builders

pytestmark = pytest.mark.django_db


def test_changes_to_different_fields_do_not_meet() -> None:
    cast = record_cast(builders.saar(), "E-2026-1", {"description": "Plaster cast", "material": "plaster"})
    describe_cast(builders.tobias(), cast.pk, {"note": "from the marsh"}, expected_version=1)
    with pytest.raises(Stale) as stale:
        describe_cast(builders.saar(), cast.pk, {"handling": "two people"}, expected_version=1)
    met = meeting(stale.value.now, 1, {"handling": "two people", "note": "", "description": "Plaster cast"})
    assert met.mine == {"handling": "two people"}
    assert met.clashes == []


def test_changes_to_one_field_are_shown_and_chosen() -> None:
    cast = record_cast(builders.saar(), "E-2026-1", {"description": "Plaster cast"})
    describe_cast(builders.tobias(), cast.pk, {"note": "from the marsh"}, expected_version=1)
    cast.refresh_from_db()
    said = {"note": "from the dune", "handling": "two people"}
    assert meeting(cast, 1, said).clashes == ["note"]
    assert settled(said, {"take_note": "theirs"}) == {"handling": "two people"}
    assert settled(said, {"take_note": "mine"}) == said


def test_history_says_from_what_to_what_and_by_whom() -> None:
    cast = record_cast(builders.saar(), "E-2026-1", {"description": "Plaster cast"})
    describe_cast(builders.tobias(), cast.pk, {"excavation": builders.excavation("D-2026-1"), "fragile": True})
    newest, first = changes_of(cast)
    assert {(name, old, new) for name, _, old, new in newest.fields} == {
        ("excavation", "", "D-2026-1"),
        ("fragile", "no", "yes"),
    }
    assert (newest.who, first.who, first.first) == ("Tobias Wren", "Saar Osei", True)
