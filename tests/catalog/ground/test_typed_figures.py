"""What people type for a figure with a unit. Rules of ours; factors and rounding are checked in tests/outside."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.ground.figures import Amount, read_amount, shown


def _mass(said: str, *, decimal_comma: bool | None = None) -> Amount:
    return read_amount(said, unit="g", what="mass", decimal_comma=decimal_comma)


def _sentence(said: str, unit: str = "g", what: str = "mass") -> str:
    with pytest.raises(ValueError) as refused:
        read_amount(said, unit=unit, what=what)
    return str(refused.value)


@pytest.mark.parametrize(
    "said, value_g",
    [
        *(("1,5 kg", "1500"), ("1.5kg", "1500"), ("1.5 KG", "1500"), ("1500 mg", "1.5"), ("2 t", "2000000")),
        *(
            ("1 500 g", "1500"),
            ("1\u202f500 g", "1500"),
            ("1\u00a0500", "1500"),
            ("46\u2009200", "46200"),
            ("1500", "1500"),
        ),
        *(("1½", "1.5"), ("½ kg", "500"), ("1 ¾ g", "1.75"), (".5", "0.5"), ("0,125", "0.125"), ("0.500", "0.5")),
        *(("1.500,25", "1500.25"), ("1,500.25", "1500.25"), ("1 500,25", "1500.25"), ("1.234.567", "1234567")),
        *(("1234.500", "1234.5"), ("12.50 g", "12.5"), ("5.", "5"), ("5 g.", "5"), ("-0", "0"), ("+5", "5")),
    ],
)
def test_a_typed_mass_is_read_in_grams(said: str, value_g: str) -> None:
    amount = _mass(said)
    assert amount.value == Decimal(value_g)
    assert (amount.unit, amount.said, amount.uncertainty) == ("g", said, None)


def test_noughts_as_typed_are_kept_and_none_are_added() -> None:
    assert str(_mass("12.50").value) == "12.50"
    assert str(_mass("1.50 kg").value) == "1500"
    assert str(_mass("2 lb").value) == "907.18474"


def test_the_last_figure_typed_says_how_finely_it_was_read() -> None:
    assert [_mass(said).step for said in ("1.5 kg", "1500", "12.50", "1½", "1500 mg")] == [
        Decimal(step) for step in ("100", "1", "0.01", "0.5", "0.001")
    ]


@pytest.mark.parametrize(
    "said", ["80±2", "80 ± 2 g", "80 g ± 2", "80 g ± 2 g", "80 +/- 2", "0.08 kg ± 2 g", "0.080 ± 0.002 kg"]
)
def test_what_it_may_be_off_by_is_kept_in_the_same_unit(said: str) -> None:
    assert (_mass(said).value, _mass(said).uncertainty) == (Decimal(80), Decimal(2))


def test_about_and_below_are_kept_beside_the_figure() -> None:
    assert [_mass(said).approximate for said in ("~80", "≈ 80", "about 80 g", "ca. 80", "80")] == [True] * 4 + [False]
    assert (_mass("<0.1").below, _mass("<0.1").value) == (True, Decimal("0.1"))
    assert _mass("0.1").below is False


@pytest.mark.parametrize("said", ["1.500 g", "1,500 g"])
def test_a_point_or_comma_before_three_figures_is_asked_back(said: str) -> None:
    assert _sentence(said) == f"{said[:5]} may be 1.5 g or 1500 g. Write 1.5 or 1500."


def test_the_decimal_sign_of_the_collection_settles_it() -> None:
    assert (_mass("1.500", decimal_comma=False).value, _mass("1,500", decimal_comma=False).value) == (
        Decimal("1.5"),
        Decimal(1500),
    )
    assert (_mass("1.500", decimal_comma=True).value, _mass("1,500", decimal_comma=True).value) == (
        Decimal(1500),
        Decimal("1.5"),
    )
    assert _mass("1.5", decimal_comma=True).value == Decimal("1.5"), "one figure behind the point leaves no doubt"


@pytest.mark.parametrize(
    "said, sentence",
    [
        ("-3", "A mass cannot be below zero."),
        ("−0,3 g", "A mass cannot be below zero."),
        ("", "Write the mass as a figure, such as 12.5 g."),
        ("NaN", "Write the mass as a figure, such as 12.5 g."),
        ("-Infinity", "Write the mass as a figure, such as 12.5 g."),
        ("heavy", "Write the mass as a figure, such as 12.5 g."),
        ("1e3", "Write the figure in full, such as 1500, without a power of ten."),
        ("1.5E+2", "Write the figure in full, such as 1500, without a power of ten."),
        ("2×10³", "Write the figure in full, such as 1500, without a power of ten."),
        ("١٥", "Write the figure with 0 to 9, such as 1500."),
        ("１５", "Write the figure with 0 to 9, such as 1500."),
        ("1_0", "We do not know the unit '_0'. Write the mass in g, kg or mg."),
        ("3 stone", "We do not know the unit 'stone'. Write the mass in g, kg or mg."),
        ("3 cm", "cm is a unit of length. Write the mass in g, kg or mg."),
        ("6 oz", "An ounce may be avoirdupois (28.35 g) or troy (31.10 g). Write oz av or oz t."),
        ("5 gr", "gr may be gram or grain. Write g or grain."),
        ("80-90", "Write one mass with what it may be off by, such as 85±5 for 80 to 90."),
        ("1 50", "'1 50' is not one figure. Write it without spaces, such as 1500 or 1.5."),
        ("1.5½", "Write the mass with a point or with a fraction, not with both: 1.5 or 1½."),
        ("80±0", "What a figure may be off by is one figure above zero, such as 80±2."),
        ("80±-2", "What a figure may be off by is one figure above zero, such as 80±2."),
        ("<80±2", "A figure after < is a bound and has no ±. Write one of the two."),
        (">80", "Only < is kept before a figure, for below what the instrument can tell. Leave the sign out."),
        ("9" * 21, "That is more than can be kept. Write at most 20 figures."),
    ],
)
def test_what_is_no_mass_is_answered_with_what_to_write(said: str, sentence: str) -> None:
    assert _sentence(said) == sentence


def test_gallons_and_fluid_ounces_want_their_system() -> None:
    assert _sentence("2 gal", "l", "volume") == "A gallon may be US (3.785 l) or UK (4.546 l). Write US gal or UK gal."
    assert _sentence("2 fl oz", "ml", "volume").endswith("Write US fl oz or UK fl oz.")


def test_the_word_for_the_quantity_stands_in_the_sentence() -> None:
    assert _sentence("-1", "mm²", "area") == "An area cannot be below zero."
    assert _sentence("x", "", "count") == "Write the count as a figure, such as 12."
    assert _sentence("3 kg", "", "count") == "kg is a unit of mass. Write the count as a bare figure."
    with pytest.raises(ValueError, match=r"^A depth cannot be below 5\u202fcm\.$"):
        read_amount("4 cm", unit="cm", what="depth", least=Decimal(5))
    assert read_amount("-4", unit="°C", what="temperature", least=None).value == -4


def test_a_figure_is_shown_with_narrow_spaces_and_a_true_minus() -> None:
    assert shown(Decimal("1500"), "g") == "1500\u202fg"
    assert shown(Decimal("46200.50"), "g") == "46\u202f200.50\u202fg"
    assert shown(Decimal("1234567.5"), "mm", comma=True) == "1\u202f234\u202f567,5\u202fmm"
    assert shown(Decimal("-0.3"), "°C") == "\u22120.3\u202f°C"
    assert (shown(Decimal("-0.0"), "g"), shown(Decimal("1.5E+3"), "g")) == ("0.0\u202fg", "1500\u202fg")
    assert (shown(Decimal(45), "°"), shown(Decimal(27), "")) == ("45°", "27")
    with pytest.raises(ValueError, match="finite"):
        shown(Decimal("NaN"), "g")


@given(st.text(alphabet="0123456789 .,±~<-½kgmlbozeE'\u202f²×", max_size=14))
def test_any_text_is_read_or_answered(said: str) -> None:
    assert _read_or_answered(said)


def _read_or_answered(said: str) -> bool:
    try:
        amount = _mass(said)
    except ValueError as refused:
        return str(refused).endswith(".")
    return amount.value.is_finite() and amount.value >= 0 and amount.said == said
