"""Which words of a name are in Latin type: use of the trade (zoological code, appendix B 6), from memory. Escaping: HTML."""

import pytest

from catalog.ground.latin import name_in_parts
from catalog.templatetags.look import latin_name


def upright(name: str) -> str:
    return " ".join(words for words, is_latin in name_in_parts(name) if not is_latin)


@pytest.mark.parametrize(
    "name, not_latin",
    [
        ("Colletes cunicularius", ""),
        ("Cataglyphis sp.", "sp."),
        ("Cataglyphis cf. bicolor", "cf."),
        ("Geotrupes sp. 2 (dune)", "sp. 2 (dune)"),
        ("Ocypode ceratophthalma (Pallas, 1772)", "(Pallas, 1772)"),
        ("Andrena vaga Panzer, 1799", "Panzer, 1799"),
        ("Andrena (Melandrena) vaga", ""),
        ("Upogebia deltaura de Haan", "de Haan"),
        ("Lasius flavus ssp. myops", "ssp."),
        ("C. cunicularius", ""),
        ("Formicidae", "Formicidae"),
        ("Hymenoptera indet.", "Hymenoptera indet."),
        ("unknown animal", "unknown animal"),
    ],
)
def test_qualifiers_authors_and_families_stay_upright(name: str, not_latin: str) -> None:
    assert upright(name) == not_latin


def test_no_word_of_a_name_is_lost() -> None:
    name = "Andrena (Melandrena) cf. vaga Panzer, 1799"
    assert " ".join(words for words, _ in name_in_parts(name)) == name


def test_a_name_is_spoken_as_latin() -> None:
    assert latin_name("Cataglyphis sp.") == '<i class="latin" lang="la">Cataglyphis</i> sp.'


def test_a_name_brings_no_markup_of_its_own() -> None:
    assert latin_name("<b>Apis</b>") == "&lt;b&gt;Apis&lt;/b&gt;"
    assert latin_name(None) == ""
