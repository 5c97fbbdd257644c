"""The parts of the look, drawn: whole markup, escaped words, nothing said twice."""

import xml.etree.ElementTree as ET
from datetime import date
from html.parser import HTMLParser
from types import SimpleNamespace
from typing import Any

import pytest
from django.template import Context, Template
from django.template.loader import render_to_string

from catalog.ground import drawings
from catalog.ground.icons import ICONS, icon
from catalog.ground.pattern_sheet import everything

EVIL = "<script>alert(1)</script>"
VOID = {"meta", "link", "input", "br", "img", "hr"}


class Reader(HTMLParser):
    """Collects ids and the stack of open elements; what is closed out of order is a fault."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.faults: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.ids += [value or "" for name, value in attrs if name == "id"]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> at {self.getpos()}")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.ids += [value or "" for name, value in attrs if name == "id"]


def read(markup: str) -> Reader:
    reader = Reader()
    reader.feed(markup)
    return reader


def page(template: str, **facts: Any) -> str:
    imke = SimpleNamespace(signed_in=True, account_id=3, name="Imke Roodenburg", first_name="Imke")
    house = SimpleNamespace(name="Tarn Holm dune and marsh station", code="TH")
    return render_to_string(
        template, {"actor": imke, "collection": house, "waiting": 7, "light": False, "csrf_token": "t"} | facts
    )


@pytest.fixture
def sheet(monkeypatch: pytest.MonkeyPatch) -> str:
    """The pattern sheet with every part in every state."""
    monkeypatch.setattr("catalog.ground.collection.today", lambda: date(2026, 6, 11))
    return page("look/look.html", **everything(date(2026, 6, 11)))


def test_every_part_closes_what_it_opens(sheet: str) -> None:
    reader = read(sheet)
    assert (reader.faults, reader.open) == ([], [])


def test_no_id_stands_twice_on_the_sheet(sheet: str) -> None:
    ids = read(sheet).ids
    assert sorted({i for i in ids if ids.count(i) > 1}) == []


@pytest.mark.parametrize("code", [400, 403, 404, 405, 409, 412, 413, 422, 429])
def test_an_error_page_says_the_sentence_of_the_refusal(code: int) -> None:
    markup = page(f"look/errors/{code}.html", sentences=[f"2016.1 is broken {EVIL}."], remedy="/casts/2016.1/")
    reader = read(markup)
    assert (reader.faults, reader.open) == ([], [])
    assert "2016.1 is broken &lt;script&gt;" in markup
    assert 'href="/casts/2016.1/"' in markup


@pytest.mark.parametrize("code", [500, 503, 507])
def test_our_own_faults_need_neither_an_asker_nor_a_database(code: int) -> None:
    markup = render_to_string(f"look/errors/{code}.html", {"code": "7K2Q"})
    assert read(markup).faults == []
    assert "7K2Q" in markup
    assert "Sign in" not in markup


def test_a_visitor_is_offered_the_sign_in_and_no_work() -> None:
    visitor = SimpleNamespace(signed_in=False, account_id=None, name="", first_name="")
    markup = page("look/scan.html", actor=visitor, waiting=None)
    assert 'href="/sign-in/"' in markup
    assert "/today/" not in markup
    assert "data-who" not in markup


def test_the_light_is_fixed_for_those_who_asked_for_it() -> None:
    assert "data-light" in page("look/scan.html", light=True)
    assert "data-light" not in page("look/scan.html", light=False)


def test_a_page_whose_act_failed_says_so_in_its_title() -> None:
    failed = SimpleNamespace(
        errors={"a": ["b"]}, summary=SimpleNamespace(say="", rest="", lines=[]), hidden_fields=[], laid_out=[]
    )
    assert "<title>Not written: " in page("look/form.html", form=failed, act="Write")


def test_a_closed_act_stays_in_its_place_and_leads_nowhere() -> None:
    markup = render_to_string(
        "look/parts/act.html", {"label": "Hand it over: one paper is missing", "href": "/x/", "closed": True}
    )
    assert 'aria-disabled="true"' in markup
    assert 'tabindex="0"' in markup
    assert 'href="' not in markup


def drawn(source: str, **facts: Any) -> str:
    return Template(source).render(Context(facts))


def test_a_tag_leads_to_whatever_bears_its_number() -> None:
    assert drawn('{% tag "2016.1.3" %}') == '<a class="tag" href="/q/2016.1.3/">2016.1.3</a>'
    assert drawn('{% tag "2016.1" "/casts/2016.1/" %}') == '<a class="tag" href="/casts/2016.1/">2016.1</a>'
    assert drawn('{% tag "2016.1" big=True %}') == '<span class="tag big">2016.1</span>'
    assert drawn('{% tag "2026.15" pencil=True %}') == '<span class="tag in-pencil">2026.15</span>'
    assert "<script>" not in drawn("{% tag n %}", n=EVIL)
    assert drawn("{% tag n %}", n="Nest 7/a") == '<a class="tag" href="/q/Nest%207%2Fa/">Nest 7/a</a>'


def test_a_note_around_other_markup_keeps_it_and_escapes_words() -> None:
    markup = drawn('{% note "caution" icon="carry" %}<strong>{{ word }}</strong>{% endnote %}', word=EVIL)
    assert "<strong>&lt;script&gt;" in markup
    assert read(markup).faults == []


@pytest.mark.parametrize("name", sorted(ICONS))
def test_an_icon_is_whole_and_silent_beside_its_word(name: str) -> None:
    root = ET.fromstring(icon(name))
    assert root.get("aria-hidden") == "true"
    assert len(root) > 0
    assert ET.fromstring(icon(name, 'A "word"')).get("aria-label") == 'A "word"'


@pytest.mark.parametrize("form", [*drawings.OUTLINES, "a form nobody named"])
def test_a_cast_has_an_outline_by_the_form_of_its_nest(form: str) -> None:
    root = ET.fromstring(drawings.outline(form, title=EVIL))
    assert root.get("aria-label") == EVIL
    assert drawings.outline(form) != drawings.outline("spiral") or form == "spiral"


def black(share: float) -> float:
    """How far the black fields of the bar reach, of 200."""
    root = ET.fromstring(drawings.scale_bar(share, title="a share"))
    ends = [float(r.get("x", 0)) + float(r.get("width", 0)) for r in root.iter("rect") if r.get("class") == "on"]
    return max(ends, default=0.0)


@pytest.mark.parametrize("share", [0.0, 0.004, 0.5, 0.711, 1.0])
def test_the_scale_bar_is_black_for_as_much_as_there_is(share: float) -> None:
    assert black(share) == pytest.approx(200 * share, abs=0.051)


def test_more_than_the_whole_ends_in_an_arrow_and_stays_within_the_bar() -> None:
    over = drawings.scale_bar(1.08, title="108 of 100")
    assert black(1.08) == 200
    assert over.count("<path") == 1
    assert drawn("{% scalebar 1 0 %}") == ""


def test_a_scale_bar_says_its_figures() -> None:
    assert 'aria-label="212 of 318"' in drawn("{% scalebar 212 318 %}")
    assert 'aria-label="by mass"' in drawn('{% scalebar 9274 13050 60 "by mass" %}')
