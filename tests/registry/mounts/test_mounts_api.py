"""Mounts, supports, what is on them and inspections through the API: once, in order, and named where wrong."""

from __future__ import annotations

from decimal import Decimal as D
from typing import Any

import pytest

from registry.mounts.models import Mount, MountInspection
from tests import builders
from tests.registry.mounts.makers_mounts import TRAINED, frame, stands
from tests.registry.places.makers_places import asked, key, tree

pytestmark = pytest.mark.django_db


def post(client: Any, noun: str, said: dict[str, Any], *, under: str = "") -> Any:
    headers = {"Idempotency-Key": under or key()}
    return client.post(f"/api/v1/{noun}/", said, content_type="application/json", headers=headers)


def patch(client: Any, address: str, said: dict[str, Any], tag: str) -> Any:
    return client.patch(address, said, content_type="application/json", headers={"If-Match": tag})


def test_a_mount_with_supports_and_its_cast_is_written_and_read(client: Any) -> None:
    tree()
    builders.cast("2011.3", mass_g=D(40_000))
    builders.signed_in(client, "Ottilie Brandt")
    made = post(client, "mounts", {"kind": "frame", "name": "Frame 1", "place": "F-1", "closes": "H", "stays": True})
    assert (made.status_code, made["Location"], made.json()["number"]) == (201, "/api/v1/mounts/F-1/", "F-1")
    for number, x, y in (("1", 0, 0), ("2", 600, 0), ("3", 250, 500)):
        said = {"mount": "F-1", "number": number, "x_mm": x, "y_mm": y, "capacity_n": "300", "capacity_source": "test"}
        assert post(client, "supports", said).status_code == 201
    on = post(client, "mounted", {"mount": "F-1", "what": "2011.3", "x_mm": "280", "y_mm": "140"})
    assert on.status_code == 201
    shown = client.get("/api/v1/mounts/F-1/").json()
    # worked by hand in fractions: 37/100, 35/100 and 28/100 of the weight
    weight = 40 * 9.80665
    assert [load["worst_n"] for load in shown["loads"]] == [pytest.approx(weight * s) for s in (0.37, 0.35, 0.28)]
    assert [load["verdict"] for load in shown["loads"]] == ["near", "near", "in order"]
    assert (shown["on_it"], shown["carried_g"]) == (["2011.3"], 40000)
    off = patch(client, f"/api/v1/mounted/{on.json()['uid']}/", {"words": "by the plan", "to": "B-3"}, on["ETag"])
    assert (off.status_code, off.json()["off_words"]) == (200, "by the plan")


def test_an_inspection_is_posted_once_whatever_a_phone_repeats(client: Any) -> None:
    mount, _ = frame()
    stands(mount, builders.cast("2011.3", mass_g=D(40_000)))
    builders.signed_in(client, "Ottilie Brandt")
    supports = [{"number": n, "state": "fail" if n == "2" else "sound"} for n in "1234"]
    said = {"mount": "F-1", "competence": TRAINED, "supports": supports}
    first = post(client, "inspections", said, under="a-phone-in-the-hall-0001")
    again = post(client, "inspections", said, under="a-phone-in-the-hall-0001")
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json()["uid"] == again.json()["uid"]
    assert first.json()["consequences"][0] == "Support 2 of F-1 has failed."
    assert MountInspection.objects.count() == 1
    assert client.get("/api/v1/mounts/F-1/").json()["left_out"] == ["2"]
    assert client.get("/api/v1/inspections/?found=fail").json()["items"][0]["mount"] == "F-1"
    assert client.get("/api/v1/supports/?state=fail").json()["items"][0]["number"] == "2"


def test_the_fields_of_the_page_are_taken_as_a_phone_sends_them(client: Any) -> None:
    frame()
    builders.signed_in(client, "Ottilie Brandt")
    fields = {f"state_{n}": "sound" for n in "123"} | {"state_4": "watch", "signs_4": ["creep", "slack"]}
    fields |= {"mount": "F-1", "competence": TRAINED, "made_at": "2026-06-03T08:00:00Z"}
    answer = client.post("/api/v1/inspections/", fields, headers={"Idempotency-Key": key()})
    assert answer.status_code == 201, answer.json()
    shown = answer.json()
    assert shown["on"] == "2026-06-03"
    assert shown["supports"][3] == {"number": "4", "state": "watch", "signs": ["creep", "slack"], "note": ""}


@pytest.mark.parametrize("noun, said, field", [
    ("mounts", {"kind": "hook", "name": "x"}, "kind"),
    ("mounts", {"kind": "board", "name": "x", "place": "nowhere"}, "place"),
    ("mounts", {"kind": "board", "name": "x", "made": "1999"}, "made"),
    ("supports", {"mount": "F-9", "number": "1", "x_mm": 0, "y_mm": 0}, "mount"),
    ("supports", {"mount": "F-1", "number": "9", "x_mm": 0, "y_mm": 0, "capacity_n": "-5"}, "capacity_n"),
    ("mounted", {"mount": "F-1", "what": "9999.9"}, "what"),
    ("inspections", {"mount": "F-1", "competence": "x", "supports": [{"number": "1", "state": "fine"}]}, "supports"),
    ("inspections", {"mount": "F-1", "competence": "x", "supports": []}, "state_1"),
])  # fmt: skip
def test_what_is_wrong_is_named_at_its_field(client: Any, noun: str, said: dict[str, Any], field: str) -> None:
    frame()
    builders.signed_in(client, "Ottilie Brandt")
    answer = post(client, noun, said)
    assert answer.status_code == 422, answer.json()
    assert field in str(answer.json()["errors"])
    assert not MountInspection.objects.exists()


def test_a_change_needs_the_version_that_was_seen(client: Any) -> None:
    frame()
    builders.signed_in(client, "Ottilie Brandt")
    seen = client.get("/api/v1/mounts/F-1/")
    assert patch(client, "/api/v1/mounts/F-1/", {"stays": False}, seen["ETag"]).json()["stays"] is False
    assert patch(client, "/api/v1/mounts/F-1/", {"stays": True}, seen["ETag"]).status_code == 412
    assert not Mount.objects.get().stays
    one = client.get("/api/v1/supports/?mount=F-1").json()["items"][0]
    moved = patch(client, f"/api/v1/supports/{one['uid']}/", {"x_mm": "12.5"}, f'"v{one["version"]}"')
    assert moved.json()["x_mm"] == 12.5


def test_who_only_reads_writes_nothing(client: Any) -> None:
    frame()
    builders.signed_in(client, "Saar Osei")
    assert client.get("/api/v1/mounts/").status_code == 200
    for noun in ("mounts", "supports", "mounted", "inspections"):
        assert post(client, noun, {}).status_code == 403, noun


def test_the_list_takes_as_many_queries_however_many(client: Any) -> None:
    from registry.mounts.actions import add_mount
    from registry.mounts.said import MountSaid

    frame()
    builders.signed_in(client)
    counts = []
    for n in range(1, 13):
        made = add_mount(builders.ottilie(), MountSaid("board", f"Board {n}"))
        stands(made, builders.cast(f"2016.{n}", mass_g=D(5)))
        if n in (2, 12):
            counts.append(asked(client, "/api/v1/mounts/"))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("sort", ["number", "-number", "inspect_by", "-inspect_by", "-changed_at"])
def test_the_list_is_read_page_by_page_to_its_end(client: Any, sort: str) -> None:
    from registry.mounts.actions import add_mount
    from registry.mounts.said import MountSaid
    from tests.registry.mounts.makers_mounts import looked

    mount, _ = frame()
    looked(mount)
    for n in range(1, 4):
        add_mount(builders.ottilie(), MountSaid("board", f"Board {n}"))
    builders.signed_in(client)
    found, following = [], f"/api/v1/mounts/?sort={sort}&limit=1"
    while following and len(found) < 9:
        answer = client.get(following).json()
        found += [item["number"] for item in answer["items"]]
        following = answer["next"]
    assert sorted(found) == ["F-1", "M-1", "M-2", "M-3"]
