"""What visitors read: the page, the front page, the picture, the search, the API; and what none of them tells."""

from __future__ import annotations

import io
import re
from decimal import Decimal
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from PIL import Image

from catalog.casts import actions as casts
from catalog.ground import search
from catalog.ground.asks import history_of
from catalog.ground.refusal import Hindered, NotAllowed, Refusal, Stale
from catalog.media import actions as media
from catalog.publishing.actions import publish_cast, withdraw_cast
from catalog.publishing.models import PublicPage
from tests import builders
from tests.catalog.media.makers_media import photograph
from tests.catalog.publishing.makers_visitors import category, dug, placed, published

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]


def body(answer: Any) -> bytes:
    return b"".join(answer.streaming_content) if answer.streaming else answer.content


def text(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, (address, answer.status_code)
    return answer.content.decode()


# published and taken back


def test_a_published_cast_is_read_by_everybody(client: Client) -> None:
    cast = dug(length_mm=Decimal(480))
    one = photograph(cast=cast, by=builders.person("Saar Osei"))
    assert client.get(cast.href).status_code == 404
    published(cast, picture=one, licence="CC BY 4.0", seen_at="In the lecture room")
    answer = client.get(cast.href)
    page = answer.content.decode()
    for words in (
        "A mud shrimp’s burrow",
        "pumps water",
        "In the lecture room",
        "Upogebia deltaura",
        "May 2016",
        "2.8415",
        "the salt marsh",
        "CC BY 4.0",
    ):
        assert words.casefold() in page.casefold(), words
    assert "TH 2016.1, Tarn Holm dune and marsh station" in page
    assert f"/photographs/{one.uid}/view.jpg" in page
    assert "To be kept" not in page
    assert answer["Cache-Control"] == "public, max-age=300"
    assert "Cookie" in answer["Vary"]
    assert "A mud shrimp’s burrow" in text(client, "/")
    shown = client.get(f"/photographs/{one.uid}/view.jpg")
    assert shown["Cache-Control"] == "public, max-age=300"
    with Image.open(io.BytesIO(body(shown))) as picture:
        assert picture.size == (400, 300)
    data = client.get(f"/api/v1/casts/{cast.number}/").json()
    assert data["place"] == {
        "words": "the salt marsh",
        "lat": 54.35,
        "lon": 5.25,
        "within_m": data["place"]["within_m"],
        "cell_deg": 0.1,
    }
    assert data["picture"] == f"/photographs/{one.uid}/view.jpg"
    assert search.find("shrimp’s burrow", public=True)[0].href == cast.href


def test_what_is_taken_back_is_gone_at_once(client: Client) -> None:
    cast = dug()
    one = photograph(cast=cast)
    published(cast, picture=one)
    builders.signed_in(client, "Tobias Wren")
    assert client.post(f"{cast.href}visitor/take-back/").status_code == 302
    visitor = Client()
    for address in (
        cast.href,
        f"/photographs/{one.uid}/view.jpg",
        f"/photographs/{one.uid}/thumb.jpg",
        f"/api/v1/casts/{cast.number}/",
    ):
        assert visitor.get(address).status_code == 404
    assert "Nothing is shown here yet." in text(visitor, "/")
    assert search.find("shrimp", public=True) == []
    with pytest.raises(Hindered, match="not shown to visitors"):
        withdraw_cast(builders.imke(), cast)
    assert "Taken back from visitors" in str(history_of(builders.imke(), cast))
    published(cast)
    assert visitor.get(cast.href).status_code == 200


def test_only_the_registrar_and_the_keeper_publish(client: Client) -> None:
    cast = dug()
    with pytest.raises(NotAllowed):
        publish_cast(builders.saar(), cast, title="x")
    builders.signed_in(client, "Saar Osei")
    assert client.get(f"{cast.href}visitor/").status_code == 403
    assert "Write what visitors read" not in text(client, cast.href)


def test_who_is_signed_in_goes_on_to_today(client: Client) -> None:
    builders.signed_in(client, "Lenno Haak")
    assert client.get("/")["Location"] == "/today/"


def test_two_who_write_one_page_lose_nothing() -> None:
    cast = dug()
    page = published(cast)
    with pytest.raises(Stale):
        publish_cast(builders.tobias(), cast, title="Another title", expected_version=0)
    changed = publish_cast(builders.tobias(), cast, title="Another title", expected_version=page.version)
    assert (changed.title, changed.version) == ("Another title", 2)


def test_the_form_shows_what_the_visitor_will_see_and_publishes(client: Client) -> None:
    cast = dug()
    one = photograph(cast=cast, view="north")
    builders.signed_in(client, "Imke Roodenburg")
    address = f"{cast.href}visitor/"
    assert "As a visitor sees it" in text(client, address)
    said = {
        "title": "Stairs of mud",
        "story": "Down and down.",
        "place_words": "the salt marsh",
        "picture": str(one.uid),
        "version": 0,
    }
    looked = client.post(address, said | {"look": "yes"})
    assert (looked.status_code, PublicPage.objects.count()) == (200, 0)
    seen = looked.content.decode()
    assert "Down and down." in seen
    assert client.post(address, said | {"key": "k" * 20}).status_code == 302
    public = text(Client(), cast.href)
    matter = re.compile(r'<div class="cols photo-first">.*?</section>\s*</div></div>', re.DOTALL)
    as_seen = matter.search(seen).group().replace("h3>", "h2>")
    assert as_seen == matter.search(public).group()
    stale = client.post(address, said | {"title": "Other", "version": 0, "key": "l" * 20})
    assert stale.status_code == 412


def test_a_restriction_that_bars_publishing_is_said() -> None:
    from catalog.casts.subject import what_hinders
    from catalog.ground.refusal import Reason

    cast = dug()

    def barred(subject: Any, deed: str) -> list[Reason]:
        return [Reason("2016.1 is not to be published until its paper is out.")] if deed == "publish" else []

    what_hinders.answer(barred)
    try:
        with pytest.raises(Hindered, match="until its paper is out"):
            published(cast)
    finally:
        what_hinders._answers.remove(barred)
    assert PublicPage.objects.count() == 0


# what a page must not tell


@pytest.mark.parametrize(
    "said, field, word",
    [
        ({"story": "Dug at North Creek."}, "story", "North Creek"),
        ({"title": "The shrimp of northcreek"}, "title", "North Creek"),
        ({"place_words": "the creek at 54.3550, 5.2067"}, "place_words", "54.3550"),
        ({"story": "54°21'18\"N 5°12'24\"E"}, "story", "54°21'18"),
        ({"seen_at": "behind Olde Farm"}, "seen_at", "Olde Farm"),
        ({"story": "Bag label NC-16-2."}, "story", "NC-16-2"),
        ({"story": "A gift of Marit Olde."}, "story", "Marit Olde"),
    ],
)
def test_a_text_that_gives_the_place_away_is_refused_with_the_word(
    client: Client, said: dict[str, str], field: str, word: str
) -> None:
    cast = dug(words="Path behind Olde Farm", field_number="NC-16-2")
    builders.person("Marit Olde")
    with pytest.raises(Refusal) as refused:
        published(cast, **said)
    (reason,) = refused.value.reasons
    assert reason.field == field
    assert word in reason.sentence
    builders.signed_in(client)
    answer = client.post(f"{cast.href}visitor/", {"title": "x", "version": 0} | said)
    assert answer.status_code == 422
    assert word in answer.content.decode().replace("&quot;", '"').replace("&#x27;", "'")
    assert PublicPage.objects.count() == 0


def test_who_agreed_is_named_and_nobody_else(client: Client) -> None:
    cast = dug()
    tobias = builders.person("Tobias Wren", may_be_named=True)
    ottilie = builders.person("Ottilie Brandt")
    for who in (tobias, ottilie):
        casts.name_person(builders.imke(), cast, who, "poured it")
    one = photograph(cast=cast, by=ottilie)
    published(cast, picture=one, story="Poured by Tobias Wren.")
    page = text(client, cast.href)
    assert "Tobias Wren (poured it)" in page
    assert "Ottilie" not in page


@pytest.mark.parametrize("of", ["the place", "a label"])
def test_a_picture_that_shows_a_kept_back_place_is_not_shown(client: Client, of: str) -> None:
    cast = dug()
    one = photograph(cast=cast, shows_place=of == "the place", of_label=of == "a label")
    with pytest.raises(Refusal, match=r"shows a place that is kept back|picture of a label"):
        published(cast, picture=one)
    clean = photograph(cast=cast)
    published(cast, picture=clean)
    address = f"/photographs/{clean.uid}/view.jpg"
    assert client.get(address).status_code == 200
    media.change_photograph(builders.saar(), clean.pk, {"shows_place" if of == "the place" else "of_label": True})
    assert client.get(address).status_code == 404
    assert str(clean.uid) not in text(client, cast.href) + text(client, "/") + text(
        client, f"/api/v1/casts/{cast.number}/"
    )


def test_a_picture_of_another_cast_or_taken_off_is_refused() -> None:
    cast, other = dug(), builders.cast("2016.4")
    with pytest.raises(Refusal, match="of another cast"):
        published(cast, picture=photograph(cast=other))
    off = photograph(cast=cast)
    media.withdraw_photograph(builders.saar(), off.pk, "blurred")
    off.refresh_from_db()
    with pytest.raises(Refusal, match="was taken off"):
        published(cast, picture=off)


@pytest.mark.parametrize(
    "kept, cell",
    [("1", None), ("2", (Decimal("54.35"), Decimal("5.25"), Decimal("0.1"))),
     ("3", (Decimal("54.355"), Decimal("5.205"), Decimal("0.01"))), ("none", (Decimal("54.355"), Decimal("5.2067"), None))],
)  # fmt: skip
def test_the_cell_is_that_of_the_category(client: Client, kept: str, cell: Any) -> None:
    cast = dug(site=builders.site("Creek site", category=kept))
    page = published(cast)
    found = (page.lat, page.lon, page.cell_deg) if page.lat is not None else None
    assert found == cell
    shown = text(client, cast.href)
    assert ('<svg class="cell"' in shown) == (kept in "23")
    assert ("54.35500, 5.20670" in shown) == (kept == "none")


def test_a_raised_category_makes_the_cell_anew_and_takes_back_what_tells_too_much(client: Client) -> None:
    site = builders.site("High Dune", category="none")
    quiet, loud = dug("2016.1", site=site), dug("2016.2", dig="D-2016-2", site=site)
    published(quiet)
    published(loud, story="Dug on the High Dune.")
    assert PublicPage.objects.get(cast=quiet).lat == Decimal("54.355")
    told = category(site, "2")
    page = PublicPage.objects.get(cast=quiet)
    assert (page.lat, page.cell_deg) == (Decimal("54.35"), Decimal("0.1"))
    assert "The visitor's page of 2016.1 shows the place anew." in told
    assert any("2016.2 is taken back: it names “High Dune”" in sentence for sentence in told)
    assert client.get(loud.href).status_code == 404
    for address in (quiet.href, "/", "/casts/", "/api/v1/casts/"):
        assert "High Dune" not in text(client, address)
        assert "54.355" not in text(client, address)


def test_another_excavation_makes_the_cell_anew() -> None:
    cast = dug()
    published(cast)
    far = builders.excavation("D-2019-1")
    placed(far, "-12.3456", "130.9876")
    casts.describe_cast(builders.saar(), cast.pk, {"excavation": far})
    page = PublicPage.objects.get(cast=cast)
    assert (page.lat, page.lon) == (Decimal("-12.35"), Decimal("130.95"))


def test_visitors_neither_sort_nor_narrow_by_what_they_do_not_read(client: Client) -> None:
    cast = dug()
    published(cast)
    assert client.get("/api/v1/casts/?sort=mass_g").status_code == 400
    assert client.get("/casts/?sort=changed").status_code == 400
    for query in (f"excavation={cast.excavation.number}", "changed_since=2000-01-01T00:00:00Z"):
        assert client.get(f"/api/v1/casts/?{query}").json()["count"] == 0
    before = client.get(f"/api/v1/casts/{cast.number}/")["ETag"]
    casts.describe_cast(builders.saar(), cast.pk, {"note": "found by the white house"})
    assert client.get(f"/api/v1/casts/{cast.number}/")["ETag"] == before


# two worlds


def everything(who: str, casts_: list[Any], pictures: list[Any]) -> dict[str, tuple[int, bytes, dict[str, str]]]:
    """Every answer that this reader can get about these casts, but for what differs each time by itself."""
    client = Client() if who == "visitor" else builders.signed_in(Client(), who)
    addresses = ["/", "/casts/", "/casts/?q=shrimp", "/casts/?format=json", "/casts/?format=csv", "/find/?q=creek", "/find/?q=shrimp",
                 "/api/v1/casts/", "/api/v1/photographs/", "/api/v1/documents/", "/today/", "/excavations/", "/api/v1/excavations/",
                 "/api/v1/sites/", "/excavations/D-2016-1/", "/excavations/D-2016-1/history/", "/excavations/D-2016-1/photographs/",
                 "/api/v1/excavations/D-2016-1/"]  # fmt: skip
    addresses += [f"/sites/{casts_[0].excavation.site_id}/", "/excavations/?format=csv", "/api/v1/excavations/"]
    for cast in casts_:
        addresses += [
            cast.href,
            f"{cast.href}photographs/",
            f"{cast.href}history/",
            f"{cast.href}visitor/",
            f"/api/v1/casts/{cast.number}/",
        ]
    for one in pictures:
        at = f"/photographs/{one.uid}/"
        addresses += [at, f"{at}thumb.jpg", f"{at}view.jpg", f"{at}original"]
    found = {}
    for address in addresses:
        answer = client.get(address)
        kept = {h: v for h, v in answer.headers.items() if h not in ("Set-Cookie", "Content-Length")}
        found[address] = (answer.status_code, _without_chance(body(answer)), kept)
    return found


def _without_chance(content: bytes) -> bytes:
    """Without tokens and keys of forms and the code of an error page, which are new each time."""
    for name in (rb'csrfmiddlewaretoken" value="[^"]*', rb'name="key" value="[^"]*', rb"\b[0-9A-F]{8}\b"):
        content = re.sub(name, b"", content)
    return content


@pytest.mark.parametrize("who", ["visitor", "Saar Osei", "Lenno Haak"])
def test_two_worlds_look_the_same(who: str) -> None:
    """Two exact points within one cell: no byte, header or status that a reader without leave can get tells which it is."""
    with time_machine.travel("2026-06-08T09:00:00+02:00", tick=False):
        cast, sibling = dug(), dug("2016.2", dig="D-2016-2", lat="54.3551", lon="5.2068")
        pictures = [photograph(cast=cast), photograph(excavation=cast.excavation), photograph(cast=sibling)]
        published(cast, picture=pictures[0])
        everything(who, [cast, sibling], pictures)  # an original that is read for the first time is noted as read
        here = everything(who, [cast, sibling], pictures)
        assert here[cast.href][0] == 200
        assert b"shrimp" in here["/api/v1/casts/"][1]
        if who != "visitor":
            read = ("/excavations/", "/excavations/D-2016-1/", "/api/v1/excavations/D-2016-1/", "/api/v1/sites/")
            assert {a: here[a][0] for a in read} == dict.fromkeys(read, 200)
        placed(cast.excavation, "54.3011", "5.2999")
        assert PublicPage.objects.get(cast=cast).version == 1
        there = everything(who, [cast, sibling], pictures)
    differs = [a for a in here if here[a] != there[a]]
    assert differs == []
    for address, (_, content, headers) in here.items():
        for canary in (b"54.3550", b"5.2067", b"54.35500"):
            assert canary not in content + str(headers).encode(), address


def test_a_point_in_another_cell_is_seen_to_differ() -> None:
    """The test above can fail: a place one cell away changes the page."""
    with time_machine.travel("2026-06-08T09:00:00+02:00", tick=False):
        cast = dug()
        published(cast)
        here = everything("visitor", [cast], [])
        placed(cast.excavation, "54.4550", "5.2067")
        there = everything("visitor", [cast], [])
    assert [a for a in here if here[a] != there[a]]


def test_thirty_published_casts_are_asked_for_like_three(client: Client) -> None:
    def asked(address: str) -> int:
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address).status_code == 200
        return len(queries)

    def more(first: int, n: int) -> None:
        for m in range(first, first + n):
            cast = builders.cast(f"2016.{m}", taxon=builders.taxon())
            published(cast, picture=photograph(cast=cast))

    builders.actor()
    more(1, 3)
    few = {a: asked(a) for a in ("/", "/casts/", "/api/v1/casts/")}
    more(10, 27)
    assert {a: asked(a) for a in few} == few
