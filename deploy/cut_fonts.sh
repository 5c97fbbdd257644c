#!/bin/sh
# Cuts the screen's small fonts from the whole ones that papers embed, and lists the signs that papers can print.
# Needs fonttools and brotli. Run by hand when a font in catalog/ground/papers/fonts changes; the results are kept in git.
# usage: deploy/cut_fonts.sh [PYTHON]
set -eu
cd "$(dirname "$0")/.."
exec "${1:-python}" - <<'PYTHON'
import glob
from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables._g_l_y_f import Glyph

WHOLE, SCREEN = "catalog/ground/papers/fonts/", "catalog/ground/static/look/fonts/"
LATIN = {*range(0x20, 0x7F), *range(0xA0, 0x180), 0x218, 0x219, 0x21A, 0x21B, 0x1E9E}
MARKS = {*range(0x2C6, 0x2DE), *range(0x300, 0x30D), 0x326, 0x327, 0x328}
PRINT = {*map(ord, "–—‘’‚“”„†‡•…‰′″‹›⁄€™−∕∙√∞≈≠≤≥ΔΩμπµ\u2009\u202f")}
NAMES_AFAR = {*range(0x1EA0, 0x1EFA), *range(0x1CD, 0x1DD), *map(ord, "ƁƊƏƐƓƘƙƠơƯưǢǣǦǧǨǩǪǫǴǵǾǿɓɗəɛɠḌḍḎḏḤḥḪḫḲḳḶḷḾḿṂṃṄṅṆṇṚṛṢṣṬṭẒẓẔẕẎẏ")}
WIDE = {*range(0x100, 0x180), *range(0x384, 0x3CF), *map(ord, "′″‴ℓ№⅓⅔‐‑₀₁₂₃₄")} | NAMES_AFAR
NAMES = {*range(0x20, 0x7F), *range(0xA0, 0x100), *map(ord, "ĂăāĀČčćĆĐđęēěğīİıŁłńňőŌōŒœřŘśŚşŞŠšţťūůűźżŽž–—‘’“”…×†′\u2009")} | MARKS


def signs_of(font: TTFont) -> set[int]:
    return set(font.getBestCmap())


def with_narrow_space_and_micro(font: TTFont) -> TTFont:
    """Both typefaces lack U+202F and U+00B5: a third of an em of nothing, and the Greek mu they have."""
    font.setGlyphOrder([*font.getGlyphOrder(), "uni202F"])
    font["glyf"].glyphs["uni202F"] = Glyph()
    font["hmtx"]["uni202F"] = (font["head"].unitsPerEm // 5, 0)
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[0x202F] = "uni202F"
            table.cmap[0xB5] = table.cmap[0x3BC]
    return font


def cut(whole: str, screen: str, signs: set[int], *, mend: bool = False, hints: bool = False) -> None:
    font = TTFont(f"{WHOLE}{whole}.ttf", recalcTimestamp=False)
    if mend:
        with_narrow_space_and_micro(font)
    options = subset.Options(flavor="woff2", hinting=hints, layout_features=["kern", "mark", "mkmk", "ccmp", "locl", "tnum", "case", "liga"])
    options.name_IDs = [0, 1, 2, 13, 14]
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=signs)
    cutter.subset(font)
    subset.save_font(font, f"{SCREEN}{screen}.woff2", options)


def list_signs() -> None:
    """Every sign some whole font has, as ranges: papers show the code of any other."""
    signs = sorted(set().union(*(signs_of(TTFont(path)) for path in sorted(glob.glob(WHOLE + "*.ttf")))))
    signs = [c for c in signs if c >= 0x20 and not 0x7F <= c < 0xA0]
    starts = [c for c in signs if c - 1 not in set(signs)]
    ends = [c for c in signs if c + 1 not in set(signs)]
    with open(WHOLE + "signs.txt", "w", encoding="ascii") as out:
        out.writelines(f"{a:04X}-{b:04X}\n" for a, b in zip(starts, ends))


text = LATIN | MARKS | PRINT
cut("AtkinsonHyperlegibleNext_400Regular", "next", text, mend=True)
cut("AtkinsonHyperlegibleNext_700Bold", "next-bold", text, mend=True)
cut("AtkinsonHyperlegibleMono_400Regular", "mono", text, mend=True)
cut("AtkinsonHyperlegibleMono_600SemiBold", "mono-bold", text, mend=True)
cut("Alegreya_400Regular_Italic", "latin-name-italic", NAMES)
have = signs_of(TTFont(SCREEN + "next.woff2"))
cut("NotoSans_400Regular", "wide", WIDE - have)
list_signs()
PYTHON
