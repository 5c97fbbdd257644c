"""Papers, read by other programs than the one that sets them.

pdfplumber (text, fonts, sizes), pikepdf (claims, tags, attached files), qpdf (soundness), zxing-cpp (codes),
sha256sum, xxd, base64 and openssl (the certificate's steps by hand), fonttools (what the fonts have).
"""

import dataclasses
import hashlib
import io
import shutil
import subprocess
import unicodedata
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pdfplumber
import pikepdf
import pytest
import zxingcpp
from fontTools.ttLib import TTFont

from catalog.ground.papers import FAMILY, CannotTypeset, Paper, hash_of, printable, typeset
from tests.outside.label_samples import every_label_paper
from tests.outside.paper_facts import (
    ARABIC,
    BUG,
    CYRILLIC,
    KEY,
    LEAF_3,
    LINE_3,
    MARKUP,
    PRINTED_AT,
    ROOT_5,
    acquisition_proposal,
    certificate,
    entry_receipt,
    every_paper,
    exit_note,
)

PAPERS = every_paper()
ALL = PAPERS | every_label_paper()
NOT_PRINTED = {
    "lang",
    "page",
    "code",
    "file",
    "alt",
    "bytes",
    "text",
    "key",
    "root_base64",
    "hash",
}  # looked at elsewhere


@cache
def pdf_of(name: str) -> bytes:
    return typeset(ALL[name], printed_at=PRINTED_AT)


@cache
def signs_in_order(pdf: bytes) -> str:
    """Every sign in the order of the content, without white space: cells stay whole however lines break."""
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        return squeezed("".join(sign["text"] for page in opened.pages for sign in page.chars))


def squeezed(text: str) -> str:
    return "".join(unicodedata.normalize("NFKC", text).split())


def texts_in(value: Any, key: str = "") -> Iterator[str]:
    if isinstance(value, str):
        if key not in NOT_PRINTED:
            yield from value.split("\n")
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from texts_in(inner, name)
    elif isinstance(value, list):
        for inner in value:
            yield from texts_in(inner, key)


@pytest.mark.parametrize("name", PAPERS)
def test_every_fact_stands_on_the_paper_as_it_was_typed(name: str) -> None:
    read = signs_in_order(pdf_of(name))
    facts = {key: value for key, value in ALL[name].facts.items() if key != "collection"}
    for text in texts_in(facts):
        if ARABIC not in text:  # read back below: its signs come in the order of the page
            assert squeezed(printable(text)) in read, text


@pytest.mark.parametrize("name", PAPERS)
def test_every_paper_carries_the_family_head_and_foot(name: str) -> None:
    """The list at the end of the trade's papers: who, what, which version, when, which page, from which data."""
    read = signs_in_order(pdf_of(name))
    facts = ALL[name].facts
    said = [facts["collection"]["name"], "9 April 2026, 14:02", "version 1", "Hash of the data", hash_of(facts)]
    said += ["printed by Imke Roodenburg from version 7", "Register of 412 lines, seal 9c41 b07e 55d2"]
    if name != "letter_of_refusal":  # a letter has its date in words of its own
        assert all(squeezed(text) in read for text in said)
    assert squeezed("Marsh Lane 1, 1799 TH Tarn Holm") in read
    assert squeezed("page 1 of") in read


@pytest.mark.parametrize("name", ALL)
def test_every_paper_says_pdf_a_and_pdf_ua_and_has_what_they_ask(name: str) -> None:
    """ISO 19005-2/-3 level A and ISO 14289-1: the claims, and those of their demands that can be read off."""
    with pikepdf.open(io.BytesIO(pdf_of(name))) as pdf:
        with pdf.open_metadata() as claims:
            assert claims["pdfaid:part"] == ("3" if name == "certificate" else "2")
            assert claims["pdfaid:conformance"] == "A"
            assert claims["pdfuaid:part"] == "1"
            assert claims["dc:title"] == ALL[name].title
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang).startswith("en")
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert pdf.Root.OutputIntents[0].S == "/GTS_PDFA1"
        assert not pdf.is_encrypted
        assert "/JavaScript" not in (pdf.Root.get("/Names") or {})
        tags = list(tags_below(pdf.Root.StructTreeRoot.K))
        kinds = [str(tag.S) for tag in tags]
        assert all(str(tag.Alt) for tag in tags if tag.S == "/Figure")
        assert kinds.count("/TH") >= kinds.count("/Table")
        heads = [int(kind[2:]) for kind in kinds if kind[:2] == "/H" and kind[2:].isdigit()]
        assert all(level <= heads[n] + 1 for n, level in enumerate(heads[1:])), heads
        if not name.startswith("labels_"):
            assert heads[0] == 1


def tags_below(node: Any) -> Iterator[Any]:
    for tag in node if isinstance(node, pikepdf.Array) else [node]:
        if isinstance(tag, pikepdf.Dictionary) and "/S" in tag:
            yield tag
            if "/K" in tag:
                yield from tags_below(tag.K)


@pytest.mark.parametrize("name", ALL)
def test_all_fonts_are_ours_and_inside_the_file(name: str) -> None:
    with pikepdf.open(io.BytesIO(pdf_of(name))) as pdf:
        fonts = [
            thing for thing in pdf.objects if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/Font"
        ]
        inner = [font for font in fonts if "/FontDescriptor" in font]
        assert inner
        assert all({"/FontFile2", "/FontFile3"} & set(font.FontDescriptor.keys()) for font in inner)
        assert all("/ToUnicode" in font for font in fonts if font.Subtype == "/Type0")
        families = {str(font.BaseFont).split("+")[-1].split("-")[0] for font in inner}
        assert families <= {
            "AtkinsonHyperlegibleNext",
            "AtkinsonHyperlegibleMono",
            "Alegreya",
            "NotoSans",
            "NotoSansArabic",
        }


@pytest.mark.parametrize("name", ALL)
def test_nothing_is_too_small_to_read_and_nothing_needs_colour(name: str) -> None:
    """8 pt on paper, 7 pt in the small print of a label; black, white and nothing between."""
    least = 7 if name.startswith("labels_") else 8
    with pdfplumber.open(io.BytesIO(pdf_of(name))) as pdf:
        for page in pdf.pages:
            assert min((sign["size"] for sign in page.chars), default=least) >= least - 0.05
            for thing in [*page.chars, *page.lines, *page.rects, *page.curves]:
                for colour in (thing["non_stroking_color"], thing["stroking_color"]):
                    parts = colour if isinstance(colour, tuple) else (0 if colour is None else colour,)
                    assert set(parts) in ({0}, {1}), colour


@pytest.mark.skipif(not shutil.which("qpdf"), reason="qpdf is not on this machine")
@pytest.mark.parametrize("name", ALL)
def test_qpdf_finds_nothing_wrong(name: str, tmp_path: Path) -> None:
    (tmp_path / "paper.pdf").write_bytes(pdf_of(name))
    found = subprocess.run(["qpdf", "--check", tmp_path / "paper.pdf"], capture_output=True, text=True, check=False)
    assert found.returncode == 0, found.stdout + found.stderr


@pytest.mark.parametrize("name", ["certificate", "register_page", "labels_piece"])
def test_the_same_facts_give_the_same_bytes(name: str) -> None:
    assert typeset(ALL[name], printed_at=PRINTED_AT) == pdf_of(name)
    assert typeset(ALL[name], printed_at=PRINTED_AT.replace(minute=3)) != pdf_of(name)


def test_the_hash_tells_the_data_not_who_printed_it() -> None:
    facts = exit_note().facts
    assert hash_of(facts | {"printed": {"by": "Lenno Haak"}}) == hash_of(facts)
    of_the_print = {
        "paper": {"number": "P-2027-1"},
        "seal": {"size": 9},
        "asked": {"on": "today"},
        "place_date": "here",
    }
    assert hash_of(facts | of_the_print) == hash_of(facts)
    assert hash_of(facts | {"number": "TH 2014.3"}) != hash_of(facts)
    # printf '{"a":"ü","b":1}' | sha256sum
    assert hash_of({"b": 1, "a": "ü", "printed": {}}) == "4e7f f408 0b1a 00ac"


def test_markup_prints_as_typed_and_reads_no_file() -> None:
    read = signs_in_order(pdf_of("exit_note"))
    assert squeezed(MARKUP) in read
    assert "root:x:0" not in read


def test_names_in_other_scripts_are_set_in_the_wide_fonts_and_not_lost() -> None:
    with pdfplumber.open(io.BytesIO(pdf_of("transfer_of_title"))) as pdf:
        signs = [sign for page in pdf.pages for sign in page.chars]
    by_font: dict[str, str] = {}
    for sign in signs:
        family = sign["fontname"].split("+")[-1].split("-")[0]
        by_font[family] = by_font.get(family, "") + unicodedata.normalize("NFKC", sign["text"])
    assert squeezed(CYRILLIC) in squeezed(by_font["NotoSans"])
    assert set(ARABIC) - {" "} <= set(by_font["NotoSansArabic"])
    assert "\ufffd" not in "".join(by_font.values())


def test_a_sign_that_no_font_has_stands_as_its_code_and_the_foot_says_so() -> None:
    read = signs_in_order(pdf_of("certificate"))
    assert BUG not in read
    assert "‹U+1F41E›" in read
    assert squeezed("‹U+…› stands for a sign that our type does not have") in read
    assert squeezed("stands for a sign that our type does not have") not in signs_in_order(pdf_of("exit_note"))


def test_a_mark_over_a_letter_of_another_script_stops_no_paper() -> None:
    """Found by setting random signs: no font has both, and the typesetter would leave one out."""
    facts = exit_note().facts | {"terms": ["\u06ac\u2de5\u061f\u1abb"]}
    read = signs_in_order(typeset(dataclasses.replace(exit_note(), facts=facts), printed_at=PRINTED_AT))
    assert "‹U+2DE5›" in read


@pytest.mark.parametrize(
    "text, shown",
    [
        ("Zoë & Σ № 7", "Zoë & Σ № 7"),
        ("abc\u202etxt.exe", "abc‹U+202E›txt.exe"),
        ("bell\x07", "bell‹U+0007›"),
        ("漢", "‹U+6F22›"),
        ("two\r\nlines", "two\nlines"),
    ],
)
def test_what_cannot_be_printed_is_told_by_its_code(text: str, shown: str) -> None:
    assert printable(text) == shown


def test_the_list_of_signs_is_that_of_the_fonts() -> None:
    have = set().union(*(TTFont(path).getBestCmap() for path in (FAMILY / "fonts").glob("*.ttf")))
    listed = set()
    for line in (FAMILY / "fonts/signs.txt").read_text().split():
        first, last = line.split("-")
        listed |= set(range(int(first, 16), int(last, 16) + 1))
    assert listed == {code for code in have if code >= 0x20 and not 0x7F <= code < 0xA0}


@pytest.mark.parametrize(
    "source",
    [
        '#set document(title: "x")\n#text(font: "No Such Face")[a]',
        '#set document(title: "x")\n#read("/etc/passwd")',
        '#set document(title: "x")\n#read("../../../../etc/passwd")',
        '#import "@preview/example:0.1.0": *',
        '#set document(title: "x")\n#image("code.svg")',
    ],
    ids=["unknown font", "file outside", "way out", "package", "picture without words"],
)
def test_a_template_that_does_wrong_is_refused(source: str, tmp_path: Path) -> None:
    (tmp_path / "wrong.typ").write_text(source)
    with pytest.raises(CannotTypeset):
        typeset(Paper(str(tmp_path / "wrong.typ"), {"code": "HTTPS://A.EXAMPLE/Q/1"}, "Wrong"), printed_at=PRINTED_AT)


def test_files_go_only_with_a_paper_that_may_carry_them() -> None:
    with pytest.raises(CannotTypeset, match="PDF/A-3a"):
        typeset(dataclasses.replace(exit_note(), attachments={"line.json": b"{}"}), printed_at=PRINTED_AT)
    with pytest.raises(CannotTypeset, match="no name for a file"):
        typeset(dataclasses.replace(exit_note(), pictures={"../code.svg": b""}), printed_at=PRINTED_AT)


def test_the_hour_of_printing_needs_its_zone() -> None:
    with pytest.raises(ValueError, match="time zone"):
        typeset(exit_note(), printed_at=PRINTED_AT.replace(tzinfo=None))


def page_texts(name: str) -> list[str]:
    with pdfplumber.open(io.BytesIO(pdf_of(name))) as pdf:
        return [squeezed("".join(sign["text"] for sign in page.chars)) for page in pdf.pages]


def test_an_entry_receipt_is_two_halves_of_one_sheet() -> None:
    (page,) = page_texts("entry_receipt")
    assert page.count("page1of1") == 2
    assert page.count(hash_of(ALL["entry_receipt"].facts).replace(" ", "")) == 2
    with pdfplumber.open(io.BytesIO(pdf_of("entry_receipt"))) as pdf:
        heads = [sign["top"] for sign in pdf.pages[0].chars if sign["size"] == 15]
    assert max(heads) - min(heads) == pytest.approx(148.5 / 25.4 * 72, abs=1)


def test_a_receipt_that_is_too_long_for_half_a_sheet_counts_pages_for_each_copy() -> None:
    pages = page_texts("entry_receipt_long")
    assert [next(f"{n}" for n in (1, 2) if f"page{n}of2" in page) for page in pages] == ["1", "2", "1", "2"]
    assert ["copyforthecollection" in page for page in pages] == [False, False, True, True]


def test_a_decision_not_yet_taken_leaves_room_for_the_pen() -> None:
    read = signs_in_order(typeset(acquisition_proposal(decided=False), printed_at=PRINTED_AT))
    assert all(word in read for word in ("accepted", "refused", "sentback", "Minute"))


def test_letter_paper_is_another_page_not_a_shrunk_one() -> None:
    with pdfplumber.open(io.BytesIO(pdf_of("entry_receipt_letter"))) as pdf:
        assert (pdf.pages[0].width, pdf.pages[0].height) == (612, 792)  # 8.5 x 11 in
    with pdfplumber.open(io.BytesIO(pdf_of("register_page"))) as pdf:
        assert [round(float(side) / 72 * 25.4) for side in (pdf.pages[0].width, pdf.pages[0].height)] == [297, 210]


def test_nothing_stands_outside_the_margins() -> None:
    for name in PAPERS:
        with pdfplumber.open(io.BytesIO(pdf_of(name))) as pdf:
            for page in pdf.pages:
                edge = 8 if name == "removal_slip" else 17.9
                assert (
                    max(sign["x1"] for sign in page.chars if sign["text"].strip())
                    <= float(page.width) - edge / 25.4 * 72 + 1
                ), name


@pytest.mark.parametrize("name", [name for name, paper in PAPERS.items() if paper.facts.get("code")])
def test_the_code_on_a_paper_reads_back(name: str) -> None:
    with pdfplumber.open(io.BytesIO(pdf_of(name))) as pdf:
        found = zxingcpp.read_barcodes(pdf.pages[0].to_image(resolution=200).original)
    assert {code.text for code in found} == {ALL[name].facts["code"]}


def test_each_slip_carries_the_code_of_its_own_number() -> None:
    with pdfplumber.open(io.BytesIO(pdf_of("removal_slip"))) as pdf:
        found = [zxingcpp.read_barcodes(page.to_image(resolution=200).original)[0].text for page in pdf.pages]
        assert [
            (round(float(page.width) / 72 * 25.4), round(float(page.height) / 72 * 25.4)) for page in pdf.pages
        ] == [(105, 148)] * 2
    assert found == [slip["code"] for slip in ALL["removal_slip"].facts["slips"]]


# --- the certificate ----------------------------------------------------------------------------------------------------


def save_attached(pdf: bytes, folder: Path) -> None:
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert opened.Root.AF  # PDF/A-3 asks that each file says what it is to the paper
        for name, file in opened.attachments.items():
            (folder / name).write_bytes(file.get_file().read_bytes())


def printed_commands(pdf: bytes) -> list[str]:
    """The lines set in Mono on the back of the certificate, as pdfplumber reads them."""
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        return [
            line["text"]
            for page in opened.pages[1:]
            for line in page.extract_text_lines()
            if all("Mono" in sign["fontname"] or not sign["text"].strip() for sign in line["chars"])
        ]


def test_a_certificate_carries_the_line_its_proof_and_the_checkpoint(tmp_path: Path) -> None:
    save_attached(pdf_of("certificate"), tmp_path)
    assert (tmp_path / "line.json").read_bytes() == LINE_3.encode()
    # leaf of line 3 and root of lines 1-5: the vectors of the sealed register, there also by pymerkle and coreutils
    result = hashlib.sha256(b"\0" + (tmp_path / "line.json").read_bytes()).digest()
    assert result.hex() == LEAF_3
    for step in (tmp_path / "proof.txt").read_text().splitlines():
        side, other = step.split()
        pair = bytes.fromhex(other) + result if side == "left" else result + bytes.fromhex(other)
        result = hashlib.sha256(b"\1" + pair).digest()
    assert result.hex() == ROOT_5


@pytest.mark.skipif(
    not all(map(shutil.which, ("sha256sum", "xxd", "base64", "openssl"))), reason="the tools of the steps by hand"
)
def test_the_steps_printed_on_the_back_give_the_root_and_verify_the_signature(tmp_path: Path) -> None:
    save_attached(pdf_of("certificate"), tmp_path)
    lines = printed_commands(pdf_of("certificate"))
    commands = "\n".join(lines[lines.index(next(line for line in lines if line.startswith("( printf '\\000'"))) :])
    ran = subprocess.run(["sh", "-e", "-c", commands], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    leaf, root, root_base64, verdict = ran.stdout.splitlines()
    assert leaf.split()[0] == LEAF_3
    assert root == ROOT_5
    assert root_base64 == (tmp_path / "checkpoint.txt").read_text().splitlines()[2]
    assert "Verified Successfully" in verdict


def test_the_printed_line_can_be_typed_off_the_paper() -> None:
    with pdfplumber.open(io.BytesIO(pdf_of("certificate"))) as pdf:
        signs = [sign for sign in pdf.pages[1].chars if abs(sign["size"] - 8) < 0.01 and "Mono" in sign["fontname"]]
    typed = "".join(sign["text"] for sign in signs).replace("\xa0", " ")
    assert typed == LINE_3
    assert squeezed(KEY) in signs_in_order(pdf_of("certificate"))


def test_a_line_with_signs_no_font_has_still_goes_along_whole(tmp_path: Path) -> None:
    """Line 6 of the register's vectors: quotes, a beetle from the pictures, tab and backslash as escapes."""
    line = '{"is":"Epoxy cast, shaft of Typhœus typhoeus (“Zoë’s”) 🐞\\n2nd line\\t/\\\\","kind":"correction","line":6}'
    pdf = typeset(certificate(line), printed_at=PRINTED_AT)
    save_attached(pdf, tmp_path)
    assert (tmp_path / "line.json").read_bytes() == line.encode()
    read = signs_in_order(pdf)
    assert squeezed("(“Zoë’s”) ‹U+1F41E›\\n2nd line\\t/\\\\") in read
    assert squeezed("Where ‹U+…› stands, type the sign with that code.") in read


def test_a_receipt_with_nothing_but_what_is_needed_is_set_too() -> None:
    spare = {
        "collection": {"name": "Tarn Holm", "code": "TH"},
        "paper": {"name": "Entry receipt"},
        "entry": {"what": "a box", "parts": "1"},
    }
    paper = dataclasses.replace(entry_receipt(), facts=spare)
    assert "Broughtby" in signs_in_order(typeset(paper, printed_at=PRINTED_AT))
