"""Small makers for tests of incidents."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject
from registry.condition.actions import Recorded, record_breakage
from registry.condition.said import BodySaid, BreakageSaid, IncidentSaid, PartSaid
from tests import builders

KEY = {"Idempotency-Key": "broke-on-the-bench-0001"}


def shrimp(**more: Any) -> tuple[Cast, Piece]:
    """2016.1 with its piece 2016.1.4, which was weighed dry."""
    dig = builders.excavation(
        "D-2016-1", dug_on="2016-06-11", dug_earliest=date(2016, 6, 11), dug_latest=date(2016, 6, 11)
    )
    cast = builders.cast("2016.1", excavation=dig, year=2016)
    facts = {"mass_g": Decimal("211.8"), "mass_u_g": Decimal("0.1"), "mass_state": "constant"} | more
    return cast, builders.piece(cast, "4", **facts)


def parts(*masses: str | None) -> tuple[PartSaid, ...]:
    return tuple(PartSaid(None if m is None else Decimal(m), None if m is None else Decimal("0.1")) for m in masses)


def broke(piece: Piece, *masses: str | None, **more: Any) -> Recorded:
    """This piece broke into parts of these masses; written by Saar."""
    incident = more.pop("incident", None) or IncidentSaid(how="fell")
    body = BodySaid(Subject(piece.cast, piece), parts(*masses), **more)
    return record_breakage(builders.saar(), BreakageSaid(incident, (body,)))


def posted(client: Any, body: dict[str, Any], key: str = "broke-on-the-bench-0001") -> Any:
    return client.post("/api/v1/breakages/", body, content_type="application/json", headers={"Idempotency-Key": key})
