"""Which words of an animal's name are set in italic: genus, subgenus and epithets; not qualifiers, authors, families.

By the use of the trade (International Code of Zoological Nomenclature, 4th edition, appendix B 6: names of the genus and
species groups in another type than the text; from memory). `cf.`, `aff.`, `sp.` say how sure somebody is: they stay upright.
"""

import re

UPRIGHT_AND_GO_ON = {"cf.", "aff.", "nr.", "ssp.", "subsp.", "var.", "f.", "?", "×", "x"}
UPRIGHT_TO_THE_END = {"sp.", "spp.", "indet.", "gen.", "agg.", "complex", "group"}
AUTHORS_BEGIN = {"de", "von", "van", "der", "den", "da", "di", "du", "del", "la", "le", "et", "and", "in", "ex", "&"}
GENUS = re.compile(r"[A-Z](?:[a-zäëïöü-]+|\.)$")
SUBGENUS = re.compile(r"\([A-Z][a-z-]+\)$")
EPITHET = re.compile(r"[a-zäëïöü]+(?:-[a-zäëïöü]+)*$")
ABOVE_GENUS = re.compile(r"(?:idae|inae|oidea|aceae|formes|ptera|ini)$")


def name_in_parts(name: str) -> list[tuple[str, bool]]:
    """`Cataglyphis cf. bicolor` -> [("Cataglyphis", True), ("cf.", False), ("bicolor", True)]: runs of words, is it Latin type."""
    words = name.split()
    if not words or not GENUS.match(words[0]) or ABOVE_GENUS.search(words[0]):
        return [(name.strip(), False)] if words else []
    marked: list[tuple[str, bool]] = []
    ended = False
    for place, word in enumerate(words):
        ended = ended or word in UPRIGHT_TO_THE_END
        latin = not ended and _is_latin(word, place, words)
        if not latin and word not in UPRIGHT_AND_GO_ON:
            ended = True
        marked.append((word, latin))
    return _runs(marked)


def _is_latin(word: str, place: int, words: list[str]) -> bool:
    if place == 0:
        return True
    if SUBGENUS.match(word):  # after a genus and before an epithet; behind the epithet it is an author
        return place == 1 and any(EPITHET.match(later) for later in words[2:3])
    return word not in UPRIGHT_AND_GO_ON | AUTHORS_BEGIN and bool(EPITHET.match(word))


def _runs(marked: list[tuple[str, bool]]) -> list[tuple[str, bool]]:
    runs: list[tuple[str, bool]] = []
    for word, latin in marked:
        if runs and runs[-1][1] == latin:
            runs[-1] = (f"{runs[-1][0]} {word}", latin)
        else:
            runs.append((word, latin))
    return runs
