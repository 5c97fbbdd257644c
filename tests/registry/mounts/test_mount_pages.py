"""Pages of mounts: what stands there, what each role is offered, what was typed wrong; and their papers."""

from __future__ import annotations

import io
import re
from decimal import Decimal as D
from typing import Any

import pdfplumber
import pytest

from catalog.ground.collection import today
from registry.mounts import actions
from registry.mounts.models import EngineersWord, Mount, MountInspection
from registry.mounts.said import MountSaid
from registry.places.actions import move
from tests import builders
from tests.registry.mounts.makers_mounts import TRAINED, anew, foot, frame, looked, stands
from tests.registry.places.makers_places import asked

pytestmark = pytest.mark.django_db


def text_of(answer: Any) -> str:
    return re.sub(r"\s+", " ", answer.content.decode().replace("\u202f", " ").replace("\xa0", " "))


def loaded(**more: Any) -> Any:
    mount, _ = frame(**more)
    stands(mount, builders.cast("2011.3", mass_g=D(40_000)))
    return mount


def test_the_page_of_a_mount_shows_loads_plan_and_what_is_on_it(client: Any) -> None:
    mount = loaded()
    builders.signed_in(client, "Lenno Haak")
    page = text_of(client.get(mount.href))
    for words in ("98.1 N", "196.1 N", "65 %", "Upper sections first.", "2011.3", "Nobody has inspected it yet."):
        assert words in page, words
    assert 'aria-label="F-1 from above: support 1 196.1 N' in page
    assert "Loads on record, not a design." in page
    assert "Follow local codes and licensed practice." in page
    assert "/inspect/" not in page


def test_the_page_thinks_a_support_away(client: Any) -> None:
    mount = loaded()
    builders.signed_in(client)
    page = text_of(client.get(f"{mount.href}?without=3"))
    assert "As if support 3 were gone." in page
    assert client.get(f"{mount.href}?without=nonsense").status_code == 200


def test_the_page_of_a_closed_mount_says_so_and_who_opens_it(client: Any) -> None:
    mount = loaded()
    looked(mount, _2="fail")
    builders.signed_in(client, "Imke Roodenburg")
    page = text_of(client.get(mount.href))
    assert "F-1 is closed since" in page
    assert "The keeper writes the engineer&#x27;s word" in page or "The keeper writes the engineer's word" in page
    assert "Keep out." in text_of(client.get("/places/H/"))
    assert "a support has failed" in text_of(client.get("/casts/2011.3/"))
    builders.signed_in(client, "Tobias Wren")
    assert f"{mount.href}word/" in text_of(client.get(mount.href))


@pytest.mark.parametrize("name, writes, releases", [
    ("Imke Roodenburg", True, False), ("Tobias Wren", True, True), ("Ottilie Brandt", True, False),
    ("Saar Osei", False, False), ("Lenno Haak", False, False),
])  # fmt: skip
def test_each_role_is_offered_what_it_may(client: Any, name: str, writes: bool, releases: bool) -> None:
    mount = loaded()
    builders.signed_in(client, name)
    page = text_of(client.get(mount.href))
    assert (f"{mount.href}change/" in page) is writes
    assert (f"{mount.href}inspect/" in page) is writes
    assert (f"{mount.href}word/" in page) is releases
    wanted = 200 if writes else 403
    for deed in ("change/", "put-on/", "inspect/", "supports/new/", "supports/1/change/", "supports/1/take-away/"):
        assert client.get(mount.href + deed).status_code == wanted, deed
    assert client.get(f"{mount.href}word/").status_code == (200 if releases else 403)
    assert client.get("/inspections/new/").status_code == wanted


def test_where_a_cast_is_offered_to_be_moved_it_says_that_it_stays(client: Any) -> None:
    loaded()
    builders.signed_in(client)
    said = "2011.3 is on F-1, a mount that is not to be moved without its plan and four people."
    assert said in text_of(client.get("/movements/new/?of=2011.3"))
    refused = client.post("/movements/new/", {"what": "2011.3", "to": "B-3", "because": "photographs"})
    assert refused.status_code == 422
    assert said in text_of(refused)
    page = text_of(client.get("/casts/2011.3/"))
    assert "Not to be moved without its plan and four people." in page


def test_a_mount_its_supports_and_its_cast_are_written_by_the_pages(client: Any) -> None:
    from tests.registry.places.makers_places import tree

    tree()
    builders.cast("2011.3", mass_g=D(1000))
    builders.signed_in(client, "Ottilie Brandt")
    said = {"name": "Frame 1", "kind": "frame", "holding": "standing", "overhead": "no", "stays": "yes", "place": "F-1"}
    refused = client.post("/mounts/new/", said | {"kind": "", "closes": "nowhere", "mass_g": "-3"})
    assert refused.status_code == 422
    page = text_of(refused)
    for words in ("Choose one of these.", "is not a place of ours", 'value="Frame 1"'):
        assert words in page, words
    made = client.post("/mounts/new/", said)
    assert (made.status_code, made["Location"]) == (302, "/mounts/F-1/")
    support = {"number": "a", "x_mm": "0", "y_mm": "0", "capacity_n": "500", "capacity_source": "maker's sheet"}
    assert client.post("/mounts/F-1/supports/new/", support | {"capacity_source": ""}).status_code == 422
    assert client.post("/mounts/F-1/supports/new/", support).status_code == 302
    assert client.post("/mounts/F-1/put-on/", {"thing": "9999.9"}).status_code == 422
    assert client.post("/mounts/F-1/put-on/", {"thing": "2011.3", "x_mm": "0", "y_mm": "0"}).status_code == 302
    mount = anew(Mount.objects.get())
    assert [str(row.thing) for row in mount.on_it] == ["2011.3"]
    off = f"/mounts/F-1/mounted/{mount.on_it[0].pk}/take-off/"
    assert client.post(off, {"words": "by the plan"}).status_code == 422
    assert client.post(off, {"words": "by the plan", "to": "B-3"}).status_code == 302
    changed = client.post("/mounts/F-1/supports/a/change/", support | {"x_mm": "10", "version": "1"})
    assert changed.status_code == 302
    assert client.post("/mounts/F-1/supports/a/change/", support | {"x_mm": "11", "version": "1"}).status_code == 412
    assert client.post("/mounts/F-1/supports/a/take-away/", {"why": "sawn off"}).status_code == 302
    assert (
        client.post("/mounts/F-1/change/", said | {"stays": "no", "version": str(anew(mount).version)}).status_code
        == 302
    )
    assert not anew(mount).stays


def test_an_inspection_page_presets_no_verdict_and_names_each_support_left_out(client: Any) -> None:
    mount = loaded()
    builders.signed_in(client, "Ottilie Brandt")
    form = client.get(f"{mount.href}inspect/").content.decode().split("data-one-by-one")[1].split("</form>")[0]
    assert form.count('type="radio"') >= 12
    assert "checked" not in form
    said = {"mount": "F-1", "state_1": "sound", "state_2": "sound", "state_3": "watch", "signs_3": ["creep", "slack"]}
    refused = client.post(f"{mount.href}inspect/", said)
    assert refused.status_code == 422
    assert "Say how support 4 is." in text_of(refused)
    assert "Write what makes you fit to judge it." in text_of(refused)
    whole = said | {"state_4": "fail", "note_4": "bolt sheared", "competence": TRAINED, "barrier": "not kept"}
    done = client.post(f"{mount.href}inspect/", whole, follow=True)
    assert "Support 4 of F-1 has failed." in text_of(done)
    row = MountInspection.objects.get()
    assert {f.support.number: (f.state, f.signs) for f in row.found.all()}["3"] == ("watch", ["creep", "slack"])
    assert "bolt sheared" in text_of(client.get(row.href))


def test_a_doubled_press_writes_one_inspection(client: Any) -> None:
    mount = loaded()
    builders.signed_in(client, "Ottilie Brandt")
    said = {f"state_{n}": "sound" for n in "1234"} | {
        "mount": "F-1",
        "competence": TRAINED,
        "key": "one-press-0001-aaaa",
    }
    for _ in range(2):
        assert client.post(f"{mount.href}inspect/", said).status_code == 302
    assert MountInspection.objects.count() == 1


def test_the_keeper_writes_the_word_and_it_opens_again(client: Any) -> None:
    mount = loaded()
    looked(mount, _2="fail")
    builders.signed_in(client, "Tobias Wren")
    said = {"engineer": "Hanne Voss", "qualification": "chartered engineer", "on": today().isoformat(), "says": "safe"}
    assert client.post(f"{mount.href}word/", said).status_code == 422
    done = client.post(f"{mount.href}word/", said | {"paper": "letter in file Mounts"}, follow=True)
    assert "F-1 is open again." in text_of(done)
    assert EngineersWord.objects.count() == 1


def test_the_list_names_what_is_over_loaded_closed_and_late(client: Any) -> None:
    loaded(capacity_n=100)
    builders.signed_in(client, "Lenno Haak")
    page = text_of(client.get("/mounts/"))
    for words in ("F-1", "over-loaded", "not to be moved", "2011.3"):
        assert words in page, words
    assert "No mount is all of that." in text_of(client.get("/mounts/?q=nothing"))
    rows = client.get("/mounts/?format=csv")
    assert b"F-1,Frame 1,frame" in b"".join(rows.streaming_content)


def test_the_list_and_todays_work_take_as_many_queries_for_twelve_mounts_as_for_two(client: Any) -> None:
    _, places = frame()
    builders.signed_in(client, "Tobias Wren")
    counts = []
    for n in range(1, 13):
        made = actions.add_mount(builders.ottilie(), MountSaid("board", f"Board {n}", stands_in=places["H"]))
        foot(made, "1"), foot(made, "2")
        cast = builders.cast(f"2016.{n}")
        builders.piece(cast, "1", mass_g=D(100))
        stands(made, cast)
        if n in (2, 12):
            counts.append((asked(client, "/mounts/"), asked(client, "/inspections/new/"), asked(client, made.href)))
    assert counts[0][:2] == counts[1][:2]
    assert max(c[2] for c in counts) <= 40


def test_a_number_that_is_no_mount_is_not_found(client: Any) -> None:
    frame()
    builders.signed_in(client, "Tobias Wren")
    for address in ("/mounts/M-9/", "/mounts/M-9/inspect/", "/inspections/999/", "/mounts/F-1/supports/9/change/"):
        assert client.get(address).status_code == 404, address
    assert client.get("/inspections/new/?of=F-1")["Location"] == "/mounts/F-1/inspect/"
    assert client.get("/inspections/new/?of=nothing").status_code == 422


def words_in(answer: Any) -> str:
    assert answer.status_code == 200
    body = b"".join(answer.streaming_content) if answer.streaming else answer.content
    with pdfplumber.open(io.BytesIO(body)) as pdf:
        told = " ".join(p.extract_text() for p in pdf.pages)
    return re.sub(r"\s+", " ", told.replace("\u202f", " ").replace("\xa0", " "))


def test_the_three_papers_say_what_the_page_says(client: Any) -> None:
    mount = loaded(gear="two straps", z_mm=None)
    looked(mount, _4="watch")
    builders.signed_in(client, "Lenno Haak")
    sheet = words_in(client.get(f"{mount.href}papers/mount-sheet.pdf"))
    for words in ("Mount sheet", "40 kg", "196.1 N", "Upper sections first.", "two straps", "65 %", "licensed"):
        assert words in sheet, words
    boxes = words_in(client.get(f"{mount.href}papers/inspection-sheet.pdf"))
    for words in ("Inspection sheet", "to be watched", "Last inspected", "Inspected as ticked above."):
        assert words in boxes, words
    tag = words_in(client.get(f"{mount.href}papers/warning-tag.pdf"))
    for words in ("Not to be moved without its plan.", "2011.3", "40 kg", "two straps"):
        assert words in tag, words
    looked(mount, _1="fail")
    assert "Closed: a support has failed. Keep out." in words_in(client.get(f"{mount.href}papers/warning-tag.pdf"))


def test_what_stands_in_a_closed_hall_is_told_on_its_own_page(client: Any) -> None:
    mount = loaded()
    other = builders.cast("2016.1")
    from catalog.casts.subject import Subject
    from registry.places.models import Place

    move(builders.imke(), Subject(other), Place.objects.get(code="H"))
    looked(mount, _1="fail")
    builders.signed_in(client)
    assert "2016.1 stands in a closed space." in text_of(client.get("/movements/new/?of=2016.1"))
