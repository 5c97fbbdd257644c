"""The colours of the style sheet, recomputed. Formula: WCAG 2.2, relative luminance and contrast ratio (1.4.3, 1.4.11).

Check values of the formula: black on white 21, the grey #767676 on white 4.54 (W3C, Understanding 1.4.3).
"""

import gzip
import re
from pathlib import Path

import pytest

LOOK = Path(__file__).parents[3] / "catalog" / "ground" / "static" / "look"
SHEET = (LOOK / "undercast.css").read_text()

TEXT = [
    *[("ink", ground) for ground in ("sky", "plaster", "slip", "marsh-w", "rust-w", "ochre-w", "zinc-w")],
    *[("ink-2", ground) for ground in ("sky", "plaster", "slip")],
    *[("graphite", ground) for ground in ("plaster", "slip")],
    *[("marsh", ground) for ground in ("sky", "plaster", "slip", "marsh-w", "rust-w", "ochre-w", "zinc-w")],
    ("on-marsh", "marsh"),
    *[("rust", ground) for ground in ("plaster", "slip", "rust-w")],
    *[("ochre", ground) for ground in ("plaster", "slip", "ochre-w")],
    *[("zinc", ground) for ground in ("sky", "plaster", "slip", "zinc-w")],
    ("sky", "ink"),
    *[(word, f"earth-{n}") for word in ("on-earth", "on-earth-2") for n in range(1, 6)],
]
EDGES = [
    *[("edge", ground) for ground in ("sky", "plaster", "slip")],
    *[("ochre-f", ground) for ground in ("plaster", "slip")],
    *[("rust", ground) for ground in ("plaster", "slip")],
    *[("zinc", ground) for ground in ("plaster", "slip")],
    *[("marsh", ground) for ground in ("sky", "plaster", "slip")],
    *[("bone", f"earth-{n}") for n in range(1, 6)],
]


def tokens(block: str) -> dict[str, str]:
    return dict(re.findall(r"--([a-z0-9-]+): (#[0-9A-Fa-f]{6})", block))


def schemes() -> dict[str, dict[str, str]]:
    light = tokens(re.search(r":root \{(.*?)\n\}", SHEET, re.S)[1])  # type: ignore[index]
    dark = tokens(re.search(r"prefers-color-scheme: dark\) \{(.*?)\n\}", SHEET, re.S)[1])  # type: ignore[index]
    return {"light": light, "dark": light | dark}


def luminance(colour: str) -> float:
    parts = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_ratios() -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("word, ground", TEXT)
def test_text_can_be_read(scheme: str, word: str, ground: str) -> None:
    colours = schemes()[scheme]
    assert contrast(colours[word], colours[ground]) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("edge, ground", EDGES)
def test_edges_and_signs_can_be_seen(scheme: str, edge: str, ground: str) -> None:
    colours = schemes()[scheme]
    assert contrast(colours[edge], colours[ground]) >= 3


def test_the_two_schemes_name_the_same_grounds() -> None:
    light, dark = schemes()["light"], tokens(re.search(r"color-scheme: dark\) \{(.*?)\n\}", SHEET, re.S)[1])  # type: ignore[index]
    assert set(dark) <= set(light)
    assert {"sky", "plaster", "slip", "ink", "edge", "marsh", "rust", "ochre", "zinc", "graphite"} <= set(dark)


def test_the_style_sheet_is_light_to_carry() -> None:
    assert len(gzip.compress(SHEET.encode(), 9)) <= 14_000


def test_each_script_stays_small() -> None:
    sizes = {script.name: script.stat().st_size for script in LOOK.glob("*.js")}
    assert sizes
    assert {name: size for name, size in sizes.items() if size > 8_192} == {}


def test_the_scripts_of_a_page_weigh_less_than_its_allowance() -> None:
    carried = b"".join(script.read_bytes() for script in LOOK.glob("*.js") if script.name != "sw.js")
    assert len(gzip.compress(carried, 9)) <= 45_000


def test_whatever_the_sheet_fetches_is_there() -> None:
    named = re.findall(r"url\(([^)#]+)\)", SHEET)
    assert named
    assert [name for name in named if not (LOOK / name).exists()] == []


def test_no_part_brings_a_style_or_a_script_of_its_own() -> None:
    """The content policy allows neither `style=` nor inline scripts nor handlers."""
    wrong = re.compile(r"\sstyle=|<style|\son[a-z]+=|<script(?![^>]*\ssrc=)", re.IGNORECASE)
    templates = sorted((LOOK.parents[1] / "templates" / "look").rglob("*.html"))
    assert templates
    assert [t.name for t in templates if wrong.search(t.read_text())] == []


def test_one_part_is_one_short_file() -> None:
    parts = sorted((LOOK.parents[1] / "templates" / "look" / "parts").glob("*.html"))
    assert parts
    assert [p.name for p in parts if len(p.read_text().splitlines()) > 40] == []
