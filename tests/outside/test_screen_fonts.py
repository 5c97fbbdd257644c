"""The screen's small fonts, read by fonttools: what they hold and what they weigh."""

from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

FOLDER = Path(__file__).resolve().parents[2] / "catalog/ground/static/look/fonts"


def signs(*names: str) -> set[str]:
    return {chr(code) for name in names for code in TTFont(FOLDER / f"{name}.woff2").getBestCmap()}


def test_the_fonts_of_a_page_weigh_no_more_than_96_kilobytes() -> None:
    assert sum(path.stat().st_size for path in FOLDER.glob("*.woff2")) <= 96_000


@pytest.mark.parametrize("face", ["next", "next-bold", "mono", "mono-bold"])
def test_figures_units_and_western_names_need_no_second_font(face: str) -> None:
    text = "0O1lI 9.274 ± 0.002 kg − × µm ½ ≤ ≥ ° “Zoë” Łódź Dvořák Şeyma Štěpán Æøå €\u202f\u00a0"
    assert set(text) <= signs(face)


@pytest.mark.parametrize("face", ["next", "next-bold", "mono", "mono-bold"])
def test_the_narrow_space_is_empty_and_narrow(face: str) -> None:
    font = TTFont(FOLDER / f"{face}.woff2")
    glyph = font.getBestCmap()[0x202F]
    assert font["hmtx"][glyph][0] == 200  # a fifth of an em
    assert font["glyf"][glyph].numberOfContours == 0


def test_the_wide_font_has_what_the_others_lack() -> None:
    assert set("′″ℓ№Γεώργιος Nguyễn Ḥasan Ḍ ŵ Ĳ") <= signs("next", "wide")
    assert not signs("wide") & signs("next") - set(" ")


def test_scientific_names_have_their_italic() -> None:
    assert set("Ocypode ceratophthalma (Pallas, 1772) × Typhœus var. ë ï ć") <= signs("latin-name-italic")


def test_each_font_has_its_licence_beside_it() -> None:
    licences = [path.read_text("utf-8") for path in FOLDER.glob("OFL-*.txt")]
    assert all("SIL OPEN FONT LICENSE Version 1.1" in text for text in licences)
    told = "".join(licences)
    assert all(project in told for project in ("Hyperlegible Next", "Hyperlegible Mono", "Alegreya", "Noto Project"))
