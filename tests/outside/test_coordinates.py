"""Coordinates read and shown, against published pairs.

Sources: the manual page of GeoConvert (GeographicLib), quoted by others; the UTM of the CN Tower as often quoted; the
worked example of Snyder, USGS Professional Paper 1395 (1987), from memory and computed again by PROJ; Chapman &
Wieczorek, Georeferencing Best Practices, GBIF 2020, doi 10.15468/doc-gg7h-s853.
"""

import math
import subprocess
import sys

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from catalog.excavations.coordinates import (
    DATUM_ASSUMED,
    DECIMAL_DEGREES,
    DECIMAL_MINUTES,
    DEGREES_MINUTES_SECONDS,
    ELLIPSOID_ASSUMED,
    FORMS,
    MGRS,
    NOUGHT_NOUGHT,
    UTM,
    read_coordinates,
    shown_as,
)
from catalog.excavations.distance import distance_m
from catalog.excavations.grid import zone_of

LATITUDES = st.floats(-90, 90)
LONGITUDES = st.floats(-180, 180)
PRECISIONS_M = st.sampled_from([None, 1.0, 5.0, 30.0, 150.0, 2000.0])


def _read(text, **kwargs):
    return read_coordinates(text, datum="WGS84", **kwargs)


def _place(text, **kwargs):
    fix = _read(text, **kwargs)
    return fix.lat, fix.lon


def _figures_of_utm(text):
    zone, easting, northing = text.split()
    return zone, float(easting), float(northing)


# What a published source says


def test_an_mgrs_square_is_read_at_its_centre():
    """GeoConvert manual: 38SMB4488 is 33.33424 44.40363. Other programs answer with the south-west corner."""
    fix = _read("38SMB4488")
    assert (fix.lat, fix.lon) == pytest.approx((33.33424, 44.40363), abs=1e-5)
    assert (fix.form, fix.cell_m, fix.precision_deg) == (MGRS, 1000, None)
    corner = _read("38N 444000.0 3688000.0")
    assert distance_m(fix.lat, fix.lon, corner.lat, corner.lon) == pytest.approx(500 * math.sqrt(2), rel=1e-3)


def test_a_square_and_its_centre_in_utm_are_one_place():
    """GeoConvert manual: 38SMB4488 is 38N 444500 3688500, within a metre."""
    square, point = _read("38SMB4488"), _read("38N 444500 3688500")
    assert distance_m(square.lat, square.lon, point.lat, point.lon) < 1
    assert shown_as(square.lat, square.lon, UTM) == "38N 444500 3688500"


def test_a_place_in_iraq_is_shown_in_utm_and_mgrs():
    """GeoConvert manual: 33.3 44.4 is 38N 444140.54 3684706.36 and 38SMB4414084706."""
    zone, easting, northing = _figures_of_utm(shown_as(33.3, 44.4, UTM, 0.01))
    assert zone == "38N"
    assert (easting, northing) == pytest.approx((444140.54, 3684706.36), abs=0.01)
    assert shown_as(33.3, 44.4, MGRS) == "38SMB4414084706"


def test_a_place_south_of_the_equator_is_shown_in_utm():
    """GeoConvert manual: -1 3 is 31S 500000 9889470."""
    zone, easting, northing = _figures_of_utm(shown_as(-1, 3, UTM))
    assert zone == "31S"
    assert (easting, northing) == pytest.approx((500000, 9889470), abs=1)
    assert _place("31S 500000 9889470") == pytest.approx((-1, 3), abs=1e-5)


def test_a_place_at_the_southern_end_of_the_grid():
    """GeoConvert manual: 79.9 S 6.1 E is 32CMS4328 to the kilometre."""
    place = _place("79.9S 6.1E")
    assert shown_as(*place, MGRS, 1000) == "32CMS4328"


def test_minutes_and_seconds_are_sixtieths():
    """GeoConvert manual: 33d19'47" is 33.329722."""
    assert _place("33d19'47\" 44d24'13\"")[0] == pytest.approx(33.329722, abs=1e-6)


def test_the_cn_tower():
    """Often quoted: 43°38'33.24"N 79°23'13.7"W is zone 17, 630084 E, 4833438 N."""
    place = _place("43°38'33.24\"N 79°23'13.7\"W")
    zone, easting, northing = _figures_of_utm(shown_as(*place, UTM))
    assert zone == "17N"
    assert (easting, northing) == pytest.approx((630084, 4833438), abs=1)


def test_utm_of_an_american_map_lies_on_its_own_ellipsoid():
    """Snyder 1987, Clarke 1866: 40°30' N 73°30' W is zone 18, 627106.5, 4484124.4 (a tenth is 0.000001 degree)."""
    fix = read_coordinates("18N 627106.5 4484124.4", datum="NAD27")
    assert (fix.lat, fix.lon) == pytest.approx((40.5, -73.5), abs=2e-6)
    on_wgs84 = _place("18N 627106.5 4484124.4")
    assert distance_m(fix.lat, fix.lon, *on_wgs84) > 200


def test_padding_noughts_show_no_precision():
    """Chapman & Wieczorek: 10.00000, -123.50000 shows half a degree, 10.27, -123.6 a hundredth."""
    assert _read("10.00000, -123.50000").precision_deg == 0.5
    fix = _read("10.27, -123.6")
    assert fix.precision_deg == pytest.approx(0.01)
    assert fix.precision_m == pytest.approx(1556.8, abs=0.1)


# What a field book looks like (arithmetic)


@pytest.mark.parametrize(
    "text",
    [
        "54.2083 N 8.0542 E",
        "N 54.2083 E 8.0542",
        "N54.2083 E8.0542",
        "8.0542 E, 54.2083 N",
        "54.2083, 8.0542",
        "54.2083,8.0542",
        "54.2083,  8.0542",
        "54.2083 8.0542",
        "54.2083; 8.0542",
        "54.2083 / 8.0542",
        "(54.2083, 8.0542)",
        "54.2083° N, 8.0542° E.",
        "54.2083°, 8.0542°",
        "+54.2083 +8.0542",
        "54,2083 N 8,0542 E",
        "54,2083 8,0542",
        "54,2083; 8,0542",
        "54,2083, 8,0542",
        "Lat 54.2083 Lon 8.0542",
        "Latitude: 54.2083 N, Longitude: 8.0542 E",
        "54.2083 north, 8.0542 east",
        "５４.２０８３ N ８.０５４２ E",
    ],
)
def test_decimal_degrees_in_many_hands(text):
    fix = _read(text)
    assert (fix.lat, fix.lon) == (54.2083, 8.0542)
    assert (fix.form, fix.said) == (DECIMAL_DEGREES, text)
    assert fix.precision_deg == pytest.approx(0.0001)
    assert fix.flags == []


@pytest.mark.parametrize(
    "text",
    [
        "54°12.34'N 8°03.21'E",
        "N54° 12.34' E008° 03.21'",
        "N54 12.34 E008 03.21",
        "54 12.34, 8 03.21",
        "54 12.34,8 03.21",
        "54 12.34 8 03.21",
        "54º12,34′ N 8º03,21′ E",
        "54d12.34m N 8d3.21m E",
        "54 deg 12.34 min N 8 deg 3.21 min E",
        "54:12.34 N 8:03.21 E",
    ],
)
def test_decimal_minutes_in_many_hands(text):
    fix = _read(text)
    assert (fix.lat, fix.lon) == (pytest.approx(54 + 12.34 / 60), pytest.approx(8 + 3.21 / 60))
    assert fix.form == DECIMAL_MINUTES
    assert fix.precision_deg == pytest.approx(0.01 / 60)


@pytest.mark.parametrize(
    "text",
    [
        "33°19'47\"S 70°24'13\"W",
        "33º19′47″ S, 70º24′13″ W",
        "33° 19’ 47” S 70° 24’ 13” W",
        "33°19'47''S 70°24'13''W",
        "S33 19 47 W70 24 13",
        "33 19 47 S 70 24 13 W",
        "33:19:47S 70:24:13W",
        "-33:19:47,-70:24:13",
        "-33 19 47 -70 24 13",
        "−33°19'47\", −70°24'13\"",
        "-33°19'47\" -70°24'13\"",
        "33d19m47sS 70d24m13sW",
        "33D19M47S S 70D24M13S W",
        "33d19'47S 70d24'13W",
        "33 deg 19 min 47 sec south, 70 degrees 24 minutes 13 seconds west",
    ],
)
def test_degrees_minutes_seconds_in_many_hands(text):
    fix = _read(text)
    assert (fix.lat, fix.lon) == pytest.approx((-(33 + 19 / 60 + 47 / 3600), -(70 + 24 / 60 + 13 / 3600)), abs=1e-12)
    assert fix.form == DEGREES_MINUTES_SECONDS
    assert fix.precision_deg == pytest.approx(1 / 3600)


@pytest.mark.parametrize(
    "text",
    [
        "38N 444500.5 3688500.2",
        "38 N 444500.5 3688500.2",
        "38n 444500,5 3688500,2",
        "UTM 38N 444500.5mE 3688500.2mN",
        "zone 38 north, E 444500.5, N 3688500.2",
        "38N N3688500.2 E444500.5",
        "38S north 444500.5 3688500.2",
    ],
)
def test_utm_in_many_hands(text):
    fix = _read(text)
    assert (fix.lat, fix.lon) == pytest.approx((33.334237, 44.403633), abs=2e-6)
    assert (fix.form, fix.cell_m, fix.precision_deg) == (UTM, 0.1, None)


@pytest.mark.parametrize("text", ["38SMB4414084706", "38S MB 44140 84706", "38smb 4414084706"])
def test_mgrs_with_and_without_spaces(text):
    assert _place(text) == pytest.approx((33.3, 44.4), abs=1e-5)


@pytest.mark.parametrize(
    ("text", "cell_m"), [("30UVF00", 10_000), ("30UVF0000", 1000), ("30UVF000000", 100), ("30UVF0000000000", 1)]
)
def test_the_side_of_an_mgrs_cell_is_counted_from_its_figures(text, cell_m):
    fix = _read(text)
    assert (fix.cell_m, fix.precision_m) == (cell_m, cell_m)


def test_a_utm_figure_that_ends_in_noughts_shows_no_metres():
    assert _read("38N 444500 3688500").cell_m == 100
    assert _read("38N 444500 3688501").cell_m == 1
    assert _read("38N 444500 3688501").precision_m == pytest.approx(math.sqrt(2))


def test_german_o_is_east_only_where_the_collection_says_so():
    assert _place("54,2083 N 8,0542 O", east_is_o=True) == (54.2083, 8.0542)
    with pytest.raises(ValueError, match=r"east in German and west in French or Spanish\. Write E or W"):
        _read("54,2083 N 8,0542 O")


def test_a_comma_that_could_be_either_is_asked_back():
    with pytest.raises(ValueError, match="may be a decimal sign or stand between two figures"):
        _read("54,8")
    with pytest.raises(ValueError, match="may be a decimal sign"):
        _read("54,1,8,2")
    assert _place("54,8", comma=False) == (54, 8)
    assert _place("54,1,8,2", comma=True) == (54.1, 8.2)
    with pytest.raises(ValueError, match="only one of the two"):
        _read("54,8", comma=True)


def test_the_wide_zones_of_norway_and_svalbard():
    """The exceptions of the UTM grid: common practice, no source; the squares by the mgrs library."""
    assert zone_of(60, 4) == 32
    assert [zone_of(78, lon) for lon in (5, 15, 25, 35)] == [31, 33, 35, 37]
    assert shown_as(60, 4, MGRS).startswith("32V")
    assert [shown_as(78, lon, MGRS)[:3] for lon in (5, 15, 25, 35)] == ["31X", "33X", "35X", "37X"]
    easting_31 = _place("31N 667000 6655200")  # the zone is taken as written, though the grid would say 32
    assert easting_31 == pytest.approx((60, 6), abs=0.01)


# What is refused, flagged, or asked back


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Nothing is written"),
        ("   ", "Nothing is written"),
        ("North Creek", "We cannot read 'North Creek'. Write it like one of these"),
        ("54.1 N", "has one letter only. Write both"),
        ("54.1 N 8.2", "has one letter only. Write both"),
        ("54.1", "only one of the two. Write latitude and longitude"),
        ("33 19 47", "only one of the two"),
        ("33° 19'", "only one of the two"),
        ("33° 19", "only one of the two"),
        ("33 deg 19", "only one of the two"),
        ("33.5° 20' N 44° 10' E", "33.5 has decimals, so no minutes can follow it"),
        ("33° 20.5' 10\" N 44° 10' E", "20.5 has decimals, so no seconds can follow it"),
        ("33° 60' N 44° 10' E", "60 minutes do not fit: a degree has 60. Write minutes below 60"),
        ("33° 10' 60\" N 44° 10' E", "60 seconds do not fit: a minute has 60"),
        ("-33 N 44 E", "Sign and letter disagree"),
        ("33 N +44 W", "Sign and letter disagree"),
        ("33 N 44 S", "Both figures in '33 N 44 S' are latitudes"),
        ("33 E 44 W", "are longitudes"),
        ("54 - 8", "may be a sign or a dash"),
        ("54-8", "may be a sign or a dash"),
        ("33.5.2 44", "We cannot read"),
        ("1.234,5 44", "may be a decimal sign"),
        ("٥٤.٢ N ٨.١ E", "We cannot read"),
        ("nan, nan", "We cannot read"),
        ("1e1, 2", "has one letter only"),
        ("90.1, 100", "latitude ends at 90"),
        ("90° 0' 1\" N 8 E", "latitude ends at 90"),
        ("20, 180.5", "longitude ends at 180"),
        ("20, 270", "round from west to east it is -90"),
        ("91, 20, 30", "We cannot read"),
        ("5" * 300, "too long for one point"),
    ],
)
def test_what_cannot_be_read_in_degrees_says_what_to_write(text, sentence):
    with pytest.raises(ValueError) as refused:
        _read(text)
    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("444500 3688500", "has no UTM zone"),
        ("38 444500 3688500", "does not say which half of the earth. Write 38N for north or 38S for south"),
        (
            "38S 444500 3688500",
            "may be south, or band S, which lies 32 to 40 degrees north. Write 38 south or 38 north",
        ),
        ("38T south 444500 4688500", "Band T lies north of the equator"),
        ("38H north 444500 6688500", "Band H lies south of the equator"),
        ("38R 444500 3688500", "the figures lie at 33.33 degrees"),
        ("38I 444500 3688500", "There is no UTM band I"),
        ("0N 444500 3688500", "Zone 0"),
        ("61N 444500 3688500", "Write a zone from 1 to 60"),
        ("38N 3688500 444500", "Are the two swapped? Then write 38N 444500 3688500"),
        ("38N 44450 3688500", "Write its six figures"),
        ("38N 444500 13688500", "at most seven figures"),
        ("38N 444500 9688500", "beyond the ends of UTM"),
        ("38N 444500", "We cannot read"),
        ("38N 444500 3688500 12", "We cannot read"),
    ],
)
def test_what_cannot_be_read_as_utm_says_what_to_write(text, sentence):
    with pytest.raises(ValueError) as refused:
        _read(text)
    assert sentence in str(refused.value)


@pytest.mark.filterwarnings('ignore:Warning in "Convert_MGRS')
@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("38SMB448", "has 3 figures after its letters"),
        ("38SMB", "has 0 figures"),
        ("38SMB444444888888", "has 12 figures"),
        ("38IMB4488", "MGRS has no letters I and O"),
        ("38SMO4488", "MGRS has no letters I and O"),
        ("0SMB4488", "Zone 0"),
        ("61SMB4488", "Write a zone from 1 to 60"),
        ("38TMB4488", "There is no square '38TMB4488'"),
        ("38SAB4488", "There is no square '38SAB4488'"),
        ("38ZMB4488", "is polar"),
        ("ZAH1234", "is a polar square"),
    ],
)
def test_what_cannot_be_read_as_mgrs_says_what_to_write(text, sentence):
    with pytest.raises(ValueError) as refused:
        _read(text)
    assert sentence in str(refused.value)


def test_mgrs_is_refused_on_a_datum_with_other_square_letters():
    with pytest.raises(ValueError, match="other letters on NAD27"):
        read_coordinates("38SMB4488", datum="NAD27")


def test_swapped_figures_are_offered_and_never_swapped_for_you():
    with pytest.raises(ValueError, match=r"Are north and east swapped\? Then write 33, 104\.5\.") as refused:
        _read("104.5, 33")
    assert "104.5 is off the planet" in str(refused.value)


def test_nought_nought_is_kept_with_a_flag():
    fix = _read("0, 0")
    assert (fix.lat, fix.lon, fix.flags) == (0, 0, [NOUGHT_NOUGHT])


def test_a_datum_that_nobody_named_is_flagged():
    assert read_coordinates("54.1, 8.2").flags == [DATUM_ASSUMED]
    assert read_coordinates("54.1, 8.2", datum="ED50").flags == []
    assert read_coordinates("54.1, 8.2", datum="unknown").flags == []
    assert read_coordinates("32N 401701 5997801", datum="unknown").flags == [ELLIPSOID_ASSUMED]
    with pytest.raises(ValueError, match=r"'Potsdam' is not offered\. Choose one of: WGS84"):
        read_coordinates("54.1, 8.2", datum="Potsdam")


# How a place is shown


@pytest.mark.parametrize(
    ("form", "text"),
    [
        (DECIMAL_DEGREES, "-33.86882, 151.20929"),
        (DECIMAL_MINUTES, "33°52.129'S 151°12.557'E"),
        (DEGREES_MINUTES_SECONDS, "33°52'07.8\"S 151°12'33.4\"E"),
    ],
)
def test_a_place_in_sydney_in_degrees(form, text):
    """Arithmetic: 0.86882 degree is 52.1292 minutes is 52 minutes 7.752 seconds."""
    assert shown_as(-33.86882, 151.20929, form) == text


def test_sixty_seconds_become_a_minute():
    assert shown_as(9.99999999, 0, DEGREES_MINUTES_SECONDS) == "10°00'00.0\"N 0°00'00.0\"E"
    assert shown_as(9.99999999, 0, DECIMAL_MINUTES) == "10°00.000'N 0°00.000'E"


def test_nought_has_no_minus():
    assert shown_as(-1e-9, -1e-9, DECIMAL_DEGREES) == "0.00000, 0.00000"
    assert shown_as(-1e-9, -1e-9, DECIMAL_MINUTES) == "0°00.000'N 0°00.000'E"


def test_a_coarse_place_is_not_shown_in_fine_figures():
    assert shown_as(33.3, 44.4, DECIMAL_DEGREES, 2000) == "33.30, 44.40"
    assert shown_as(33.3, 44.4, DEGREES_MINUTES_SECONDS, 2000) == "33°18'00\"N 44°24'00\"E"
    assert shown_as(33.3, 44.4, MGRS, 2000) == "38SMB4484"


def test_a_place_in_tierra_del_fuego_cannot_be_taken_for_band_s():
    shown = shown_as(-53.123456, -70.5, UTM)
    assert shown.startswith("19 south ")
    assert _place(shown) == pytest.approx((-53.123456, -70.5), abs=1e-5)


def test_the_grids_end_before_the_poles():
    for form in (UTM, MGRS):
        with pytest.raises(ValueError, match="reach from 80 south to 84 north"):
            shown_as(85, 20, form)
    with pytest.raises(ValueError, match="off the planet"):
        shown_as(math.nan, 20, DECIMAL_DEGREES)
    with pytest.raises(ValueError, match="Choose one of: decimal degrees"):
        shown_as(54, 8, "plus code")


@given(LATITUDES, LONGITUDES, st.sampled_from(FORMS[:3]), PRECISIONS_M)
@settings(max_examples=300, deadline=None)
def test_degrees_shown_read_back_within_the_precision(lat, lon, form, precision_m):
    fix = _read(shown_as(lat, lon, form, precision_m))
    assert fix.form == form
    assert distance_m(lat, lon, fix.lat, fix.lon) <= (precision_m or 2.5)


@given(st.floats(-80, 84), LONGITUDES, st.sampled_from([UTM, MGRS]), PRECISIONS_M)
@example(-79.99999, 179.99999, UTM, None)
@example(84.0, -180.0, UTM, 1.0)
@example(84.0, 0.0, UTM, 1.0)
@example(-80.0, 3.0, UTM, None)
@example(-80.0, 3.0, MGRS, 2000.0)
@example(72.0, 9.0, MGRS, 1.0)
@example(-1e-8, 3.0, MGRS, 1.0)
@example(-71.0, -13.0, MGRS, 2000.0)  # 28DEG7221: no degrees
@example(37.99, 3.5, MGRS, 2000.0)  # 31SEC4304: no seconds
@example(-1e-7, 3.0, MGRS, 1.0)
@example(-53.0, 179.9999, UTM, None)
@settings(max_examples=300, deadline=None)
@pytest.mark.filterwarnings('ignore:Warning in "Convert_MGRS')
def test_grids_shown_read_back_within_the_precision(lat, lon, form, precision_m):
    fix = _read(shown_as(lat, lon, form, precision_m))
    assert fix.form == form
    assert distance_m(lat, lon, fix.lat, fix.lon) <= (precision_m or 2.5)


@given(st.floats(-80, 84), LONGITUDES, st.sampled_from([1.0, 10.0, 100.0, 1000.0]))
@example(-1e-9, 0.0, 1.0)
@settings(max_examples=200, deadline=None)
@pytest.mark.filterwarnings('ignore:Warning in "Convert_MGRS')
def test_an_mgrs_cell_shown_is_as_wide_as_asked_and_holds_the_place(lat, lon, cell_m):
    fix = _read(shown_as(lat, lon, MGRS, cell_m))
    assert fix.cell_m == cell_m
    assert distance_m(lat, lon, fix.lat, fix.lon) <= cell_m * math.sqrt(0.5) * 1.001 + 0.02


@given(st.text(max_size=60))
@settings(max_examples=400, deadline=None)
def test_no_writing_at_all_breaks_the_reading(text):
    _reads_or_says_why(text)


@given(st.text(alphabet="0123456789.,;:/ +-°'\"NSEWOdmsTMB", max_size=40), st.sampled_from([None, True, False]))
@example("38S 444500 3688500", None)
@settings(max_examples=1500, deadline=None)
@pytest.mark.filterwarnings('ignore:Warning in "Convert_MGRS')
def test_no_jumble_of_figures_and_signs_breaks_the_reading(text, comma):
    _reads_or_says_why(text, comma)


def _reads_or_says_why(text, comma=None):
    """Anything but a ValueError ends the test."""
    try:
        fix = read_coordinates(text, comma=comma)
    except ValueError:
        return
    assert -90 <= fix.lat <= 90
    assert -180 <= fix.lon <= 180
    assert fix.precision_m > 0
    assert fix.said == text


def test_the_heavy_libraries_are_not_loaded_at_the_start():
    """0.4 s of start-up is spent only by who reads a grid reference."""
    code = (
        "import sys; import catalog.excavations.coordinates, catalog.excavations.datum, catalog.excavations.generalised;"
        "print(sorted({'pyproj', 'mgrs', 'geographiclib', 'django'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
