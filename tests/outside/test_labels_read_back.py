"""Labels, read back and measured by other programs: zxing-cpp (codes), pdfplumber (lengths, type), fonttools (the figures).

Sizes: our own table of labels; QR capacities: ISO/IEC 18004 table 7, from memory, and segno's and zxing's own counts.
"""

import io
from functools import cache
from typing import Any

import pdfplumber
import pytest
import zxingcpp
from fontTools.ttLib import TTFont

from catalog.ground.codes import QUIET_ZONE, code_address, code_modules, code_svg
from catalog.ground.papers import FAMILY, Paper, typeset
from registry.accessions.label_kinds import DIGIT_HEIGHT_EM, SIGN_WIDTH_EM, set_number, text_width_mm
from registry.accessions.labels import (
    KINDS,
    Label,
    Sheet,
    code_warnings,
    hinders_labels,
    label_facts,
    module_mm,
    places_on,
    roll_for,
    sheet_for,
)
from tests.outside.label_samples import (
    BASE,
    COLLECTION,
    every_label_paper,
    label_paper,
    piece_labels,
    ruler_page,
    samples,
)
from tests.outside.paper_facts import PRINTED_AT

PT = 25.4 / 72
PRINTED = {name: paper for name, paper in every_label_paper().items() if paper.facts["labels"]}


@cache
def pdf_of(name: str) -> bytes:
    return typeset(every_label_paper()[name], printed_at=PRINTED_AT)


def codes_on(pdf: bytes, dots_per_inch: int) -> list[tuple[int, float, float, str]]:
    """Page, left and top in mm of each code's first corner, and what it says."""
    found = []
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        for n, page in enumerate(opened.pages, 1):
            for code in zxingcpp.read_barcodes(page.to_image(resolution=dots_per_inch).original):
                corner = code.position.top_left
                found.append((n, corner.x / dots_per_inch * 25.4, corner.y / dots_per_inch * 25.4, code.text))
    return found


def set_labels(labels: list[Label], key: str = "piece", **how: Any) -> Paper:
    return label_paper(KINDS[key], labels, **how)


@pytest.mark.parametrize("name", PRINTED)
def test_every_code_on_every_sheet_reads_back_where_its_label_lies(name: str) -> None:
    """300 dots per inch, what an office printer gives."""
    facts = PRINTED[name].facts
    kind = facts["kind"]
    found = codes_on(pdf_of(name), 300)
    assert sorted(text for *_, text in found) == sorted(label["code"] for label in facts["labels"])
    for page, left, top, text in found:
        (label,) = [
            label
            for label in facts["labels"]
            if label["page"] == page
            and label["left_mm"] < left < label["left_mm"] + kind["width_mm"]
            and label["top_mm"] < top < label["top_mm"] + kind["height_mm"]
        ]
        assert label["code"] == text


@pytest.mark.parametrize("name", ["labels_piece", "labels_object", "labels_tray", "labels_crate", "labels_showcase"])
def test_codes_with_room_read_at_200_dots_too(name: str) -> None:
    assert len(codes_on(pdf_of(name), 200)) == len(PRINTED[name].facts["labels"])


@pytest.mark.parametrize(
    "key, width, height, code, module, digits",
    [
        ("piece", 50, 18, 17, 0.52, 3.7),
        ("small-piece", 26, 12, 11.6, 0.35, 2.1),
        ("object", 50, 25, 20, 0.6, 4.5),
        ("tray", 90, 38, 36, 1.09, 9),
        ("bag", 70, 37, 36, 1.09, None),
        ("shelf", 90, 38, 36, 1.09, 9),
        ("showcase", 105, 70, 25, 0.76, 3),
    ],
)
def test_labels_measure_what_the_table_says(
    key: str, width: float, height: float, code: float, module: float, digits: float | None
) -> None:
    """Measured in the PDF: outline, white ground of the code, height of the digits (their size times 0.668)."""
    number = {"tray": "T-9", "shelf": "B-3", "small-piece": "2026.14.3"}.get(key, "2016.1")
    with pdfplumber.open(io.BytesIO(typeset(set_labels([Label(number)], key), printed_at=PRINTED_AT))) as pdf:
        page = pdf.pages[0]
        outline = max(page.rects, key=lambda rect: rect["width"])
        assert (outline["width"] * PT, outline["height"] * PT) == (
            pytest.approx(width, abs=0.05),
            pytest.approx(height, abs=0.05),
        )
        grounds = [thing for thing in [*page.rects, *page.curves] if abs(thing["width"] * PT - code) < 0.02]
        assert grounds
        assert abs(grounds[0]["height"] * PT - code) < 0.02
        sizes = [sign["size"] * PT * DIGIT_HEIGHT_EM for sign in page.chars if "Mono" in sign["fontname"]]
    assert code / code_modules(code_address(BASE, "2016.1.3")) == pytest.approx(module, abs=0.007)
    if digits:
        assert min(sizes) >= digits - 0.01


def test_the_figures_of_the_number_are_as_high_and_wide_as_reckoned() -> None:
    font = TTFont(FAMILY / "fonts/AtkinsonHyperlegibleMono_600SemiBold.ttf")
    names, shapes, unit = font.getBestCmap(), font["glyf"], font["head"].unitsPerEm
    heights = {shapes[names[ord(figure)]].yMax / unit for figure in "147H"}
    assert all(abs(height - DIGIT_HEIGHT_EM) <= 0.002 for height in heights)
    assert {font["hmtx"][names[ord(sign)]][0] / unit for sign in "0123456789.-EHTKB"} == {SIGN_WIDTH_EM}


@pytest.mark.parametrize("name", PRINTED)
def test_nothing_runs_over_the_edge_of_its_label(name: str) -> None:
    facts = PRINTED[name].facts
    kind = facts["kind"]
    with pdfplumber.open(io.BytesIO(pdf_of(name))) as pdf:
        for n, page in enumerate(pdf.pages, 1):
            for sign in (sign for sign in page.chars if sign["text"].strip()):
                left, right = sign["x0"] * PT, sign["x1"] * PT
                base = (float(page.height) - sign["matrix"][5]) * PT
                head = base - DIGIT_HEIGHT_EM * sign["size"] * PT
                assert any(
                    label["page"] == n
                    and label["left_mm"] + kind["code_mm"] * (kind["key"] != "showcase") <= left
                    and right <= label["left_mm"] + kind["width_mm"]
                    and label["top_mm"] <= head
                    and base <= label["top_mm"] + kind["height_mm"] - 0.3
                    for label in facts["labels"]
                ), (sign["text"], left, right, head, base)


@pytest.mark.parametrize("name", PRINTED)
def test_the_number_stands_in_letters_beside_its_code(name: str) -> None:
    """The label must work when the service does not."""
    facts = PRINTED[name].facts
    with pdfplumber.open(io.BytesIO(pdf_of(name))) as pdf:
        for label in facts["labels"]:
            page = pdf.pages[label["page"] - 1]
            x, y = label["left_mm"] / PT, label["top_mm"] / PT
            box = (x, y, x + facts["kind"]["width_mm"] / PT, y + facts["kind"]["height_mm"] / PT)
            signs = page.within_bbox(box, relative=False, strict=False).chars
            figures = "".join(sign["text"] for sign in signs if "Mono" in sign["fontname"])
            assert figures.startswith(label["number"])


@pytest.mark.parametrize(
    "key, number, lines",
    [
        ("piece", "2026.14.3", ("2026.14.3",)),
        ("piece", "2026.14.176.2", ("2026.14", ".176.2")),
        ("piece", "E-2026-114", ("E-2026-114",)),
        ("small-piece", "2026.14.3", ("2026.14", ".3")),
        ("small-piece", "2026.14.176.2.1", ("2026.14", ".176.2", ".1")),
        ("object", "2026.14", ("2026.14",)),
        ("object", "E-2018-5b", ("E-2018-5b",)),
        ("tray", "T-9", ("T-9",)),
        ("bag", "2025.6", ("2025.6",)),
    ],
)
def test_a_number_is_broken_before_a_dot_and_nowhere_else(key: str, number: str, lines: tuple[str, ...]) -> None:
    found = set_number(KINDS[key], number)
    assert found is not None
    assert found.lines == lines
    assert found.digits_mm >= KINDS[key].least_digits_mm
    widest = max(map(len, lines)) * SIGN_WIDTH_EM * found.digits_mm / DIGIT_HEIGHT_EM
    assert widest <= text_width_mm(KINDS[key]) + 0.06


def test_a_number_that_would_be_too_small_to_read_is_refused() -> None:
    assert set_number(KINDS["small-piece"], "E-2026-114b") is None
    (sentence,) = hinders_labels(KINDS["small-piece"], sheet_for(KINDS["small-piece"]), [Label("E-2026-114b")])
    assert (
        sentence == "E-2026-114b does not fit on a small piece tag with digits that can be read. Take a larger label."
    )
    with pytest.raises(ValueError, match="does not fit"):
        label_facts(
            KINDS["small-piece"],
            sheet_for(KINDS["small-piece"]),
            [Label("E-2026-114b")],
            base_address=BASE,
            collection=COLLECTION,
        )


def test_nine_signs_of_a_piece_tag_take_the_width_they_were_measured_to_take() -> None:
    """31.5 mm at 3.7 mm digits, by the widths of the font."""
    found = set_number(KINDS["piece"], "2026.14.3")
    assert found is not None
    assert found.digits_mm == 3.7
    width = 9 * SIGN_WIDTH_EM * 3.7 / DIGIT_HEIGHT_EM
    assert width == pytest.approx(31.5, abs=0.1)


def test_a_used_sheet_is_gone_on_with_from_its_first_free_label() -> None:
    """56 labels, the first sheet from label 5, the second to label 18 of 42."""
    kind = KINDS["piece"]
    sheet = sheet_for(kind)
    assert (sheet.columns, sheet.rows, sheet.places) == (3, 14, 42)
    places = places_on(sheet, kind, 56, first_free=5)
    assert places[0] == (1, 28 + 52, 9.5 + 20)  # second row, second column
    assert [page for page, *_ in places].count(2) == 18
    found = codes_on(
        typeset(
            set_labels(piece_labels([f"2026.14.{n}" for n in range(125, 181)]), first_free=5), printed_at=PRINTED_AT
        ),
        200,
    )
    assert sorted({page for page, *_ in found}) == [1, 2]
    assert len([code for code in found if code[0] == 2]) == 18
    assert not [code for code in found if code[0] == 1 and code[2] < 27]  # the first row was used already


def test_the_rasters_of_an_a4_sheet() -> None:
    rasters = {key: (sheet_for(kind).columns, sheet_for(kind).rows) for key, kind in KINDS.items()}
    assert rasters == {
        "piece": (3, 14),
        "small-piece": (7, 20),
        "object": (3, 10),
        "tray": (2, 7),
        "bag": (2, 7),
        "shelf": (2, 7),
        "crate": (1, 2),
        "showcase": (2, 4),
    }
    for kind in KINDS.values():
        for page in ("a4", "us-letter"):
            sheet = sheet_for(kind, page)
            assert not hinders_labels(kind, sheet, [Label("1.1")], sheet.places)


def test_a_raster_that_the_page_does_not_hold_is_refused_with_its_size() -> None:
    sheet = Sheet("four in a row", 210, 297, 4, 14, 8, 9.5, 2, 2)
    (sentence,) = hinders_labels(KINDS["piece"], sheet, [Label("2016.1")])
    assert sentence.startswith("4 by 14 labels take 214 x 287.5 mm; the page has 210 x 297 mm.")


@pytest.mark.parametrize("first", [0, 43, -1])
def test_a_first_free_label_that_the_sheet_does_not_have_is_refused(first: int) -> None:
    (sentence,) = hinders_labels(KINDS["piece"], sheet_for(KINDS["piece"]), [Label("2016.1")], first)
    assert sentence == "The sheet has 42 labels. Write a first free label from 1 to 42."


def test_bag_labels_go_in_pairs() -> None:
    facts = set_labels([Label("2025.6"), Label("2025.7")], "bag").facts
    assert [(label["number"], label["side"]) for label in facts["labels"]] == [
        ("2025.6", "inside the bag"),
        ("2025.6", "outside the bag"),
        ("2025.7", "inside the bag"),
        ("2025.7", "outside the bag"),
    ]
    with pdfplumber.open(io.BytesIO(pdf_of("labels_bag"))) as pdf:
        read = pdf.pages[0].extract_text()
    assert read.count("inside the bag") == read.count("outside the bag") == 2


def test_a_roll_has_one_label_a_page_of_its_own_size_and_no_lines_to_cut() -> None:
    assert roll_for(KINDS["piece"]).name == "Roll, 50 mm wide"
    with pdfplumber.open(io.BytesIO(pdf_of("labels_roll"))) as pdf:
        assert [(round(float(p.width) * PT, 2), round(float(p.height) * PT, 2)) for p in pdf.pages] == [(50, 18)] * 2
        assert not [rect for rect in pdf.pages[0].rects if rect["width"] * PT > 45 and rect["stroke"]]


def test_the_collection_stands_in_full_or_by_its_code() -> None:
    labels = set_labels(piece_labels(["2016.1.3", "2026.14.176.2"])).facts["labels"]
    assert labels[0]["lines"][-1] == "Tarn Holm station"
    assert labels[1]["lines"] == ["mud shrimp, shaft, 4-8 cm", "TH · lift 1, up: painted dot"]


def test_the_words_of_a_label_print_as_typed_and_end_in_an_ellipsis_when_too_long() -> None:
    long = set_labels([Label("2016.1", title='#strong[x] $a$ @b "q"', lines=("a" * 200,))], "object")
    with pdfplumber.open(io.BytesIO(typeset(long, printed_at=PRINTED_AT))) as pdf:
        read = pdf.pages[0].extract_text()
    assert "#strong[x] $a$" in read
    assert "aaaa…" in read


def test_the_ruler_of_the_test_page_is_true() -> None:
    """100 on the ruler lies 100 mm from 0, both ways, and 0 lies 20 mm from both edges."""
    with pdfplumber.open(
        io.BytesIO(typeset(ruler_page(KINDS["piece"], sheet_for(KINDS["piece"])), printed_at=PRINTED_AT))
    ) as pdf:
        page = pdf.pages[0]
        upright = sorted(line["x0"] * PT for line in page.lines if abs(line["height"] * PT - 5) < 0.01)
        level = sorted(line["top"] * PT for line in page.lines if abs(line["width"] * PT - 5) < 0.01)
        outlines = [rect for rect in page.rects if abs(rect["width"] * PT - 50) < 0.05]
    assert upright[0] == pytest.approx(20, abs=0.02)
    assert level[0] == pytest.approx(20, abs=0.02)
    assert [upright[10] - upright[0], level[10] - level[0]] == pytest.approx([100, 100], abs=0.02)
    assert len(outlines) == 42


# --- the code itself ----------------------------------------------------------------------------------------------------


def test_a_code_holds_the_address_in_capitals() -> None:
    assert code_address("https://tarnholm.example", "2016.1.3") == "HTTPS://TARNHOLM.EXAMPLE/Q/2016.1.3"
    assert code_address("http://192.168.1.20:8000/", "E-2018-5b") == "HTTP://192.168.1.20:8000/Q/E-2018-5B"


@pytest.mark.parametrize(
    "number, path",
    [
        ("A 1", "A%201"),
        ("N/7", "N%2F7"),
        ("a_b", "A%5FB"),
        ("Ä1", "%C3%841"),
        ("1?x=2#y", "1%3FX%3D2%23Y"),
        ("100%", "100%25"),
    ],
)
def test_other_signs_of_a_number_are_percent_encoded(number: str, path: str) -> None:
    """RFC 3986, 2.1 and 2.3: UTF-8, upper case hexadecimal."""
    assert code_address(BASE, number) == f"HTTPS://TARNHOLM.EXAMPLE/Q/{path}"


@pytest.mark.parametrize(
    "base",
    [
        "javascript:alert(1)",
        "https://",
        "https://tarn holm.example",
        "https://user@tarnholm.example",
        "https://tarnholm.example/elsewhere",
        "https://tarnholm.example?x",
        "https://tarnholm.example#x",
        "https://-x.example",
        "ftp://tarnholm.example",
        "tarnholm.example",
        "https://дюна.example",
    ],
)
def test_only_scheme_host_and_port_make_a_base_address(base: str) -> None:
    with pytest.raises(ValueError):
        code_address(base, "2016.1")


@pytest.mark.parametrize("number", ["", " 1", "1\n", "a\x00b", "a\u202eb", "1" * 65])
def test_what_is_no_number_gets_no_code(number: str) -> None:
    with pytest.raises(ValueError, match="no number"):
        code_address(BASE, number)


@pytest.mark.parametrize(
    "signs, version", [(20, 1), (21, 2), (35, 2), (38, 2), (39, 3), (41, 3), (61, 3), (62, 4), (90, 4), (91, 5)]
)
def test_the_size_of_a_code_follows_the_capacity_table_of_level_m(signs: int, version: int) -> None:
    """Alphanumeric, level M: 20, 38, 61, 90 signs in versions 1-4; a version has 17 + 4 v modules."""
    assert code_modules("A" * signs) == 17 + 4 * version + 2 * QUIET_ZONE


def test_a_code_has_its_quiet_zone_and_level() -> None:
    drawing = code_svg("HTTPS://TARNHOLM.EXAMPLE/Q/2016.1.3")
    assert 'viewBox="0 0 33 33"' in drawing
    path = drawing.split('d="')[2]
    corners = [tuple(map(int, run.split("h")[0].split())) for run in path.split("M")[1:]]
    assert min(x for x, _ in corners) == min(y for _, y in corners) == 4
    assert max(y for _, y in corners) == 28
    (found,) = zxingcpp.read_barcodes(pdf_picture("labels_tray"))
    assert found.ec_level == "M"


def pdf_picture(name: str) -> Any:
    with pdfplumber.open(io.BytesIO(pdf_of(name))) as pdf:
        return pdf.pages[0].to_image(resolution=200).original


def test_a_long_base_address_is_warned_of_in_millimetres() -> None:
    long = "https://catalogue.dune-and-marsh-station.example"
    assert module_mm(KINDS["piece"], BASE, "2016.1.3") == pytest.approx(0.515, abs=0.001)
    assert module_mm(KINDS["piece"], long, "2016.1.3") == pytest.approx(17 / 37, abs=0.001)
    assert code_warnings(KINDS["piece"], BASE, ["2016.1.3"]) == []
    assert code_warnings(KINDS["piece"], long, ["2016.1.3"]) == [
        "The code of 2016.1.3 on a piece tag has modules of 0.46 mm. They read, but 0.5 mm reads better. "
        "A shorter base address would give it."
    ]
    assert code_warnings(KINDS["small-piece"], long, ["2016.1.3"]) == [
        "The code of 2016.1.3 on a small piece tag has modules of 0.31 mm. Under 0.35 mm a printer smears them. "
        "Take a larger label, or a shorter base address."
    ]
    assert code_warnings(KINDS["small-piece"], BASE, ["2016.1.3"]) == []


def test_every_kind_has_a_sample_here() -> None:
    assert set(samples()) == set(KINDS)
