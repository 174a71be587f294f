"""What people type: read right, or refused with a question; never silently wrong."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bendwright.findings import InputError
from bendwright.quantities import (
    Band,
    format_length,
    format_number,
    parse_angle_deg,
    parse_force_kn,
    parse_length,
    parse_line_load_kn_per_m,
    parse_number,
    parse_optional_length,
    parse_pressure_mpa,
)

INCH = "1 in = 25.4 mm by definition"


def refusal(call: object) -> str:
    """The sentence of the one finding a call is refused with."""
    with pytest.raises(InputError) as caught:
        call()  # type: ignore[operator]
    assert len(caught.value.findings) == 1
    return str(caught.value)


@pytest.mark.origin("derived", INCH)
@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1.5", 1.5),
        ("1,5", 1.5),
        ("1,5 mm", 1.5),
        (" 1,5\u00a0mm ", 1.5),
        ("1.5MM", 1.5),
        (".5", 0.5),
        (",5", 0.5),
        ("2.", 2.0),
        ("+3 mm", 3.0),
        ("5 1/2 in", 139.7),
        ('5-1/2"', 139.7),
        ("5½″", 139.7),
        ("½ in", 12.7),
        ("3/8 in", 9.525),
        ("3 / 8 inch", 9.525),
        ("9/8 in", 28.575),
        ('0.0598"', 1.51892),
        ("0.0598''", 1.51892),
        ("1.625 inch", 41.275),
        ("0,625 in", 15.875),
        ("60 thou", 1.524),
        ("12 cm", 120.0),
        ("0.5 m", 500.0),
        ("10 ft", 3048.0),
        ("4' 6\"", 1371.6),
        ("4 ft 6 1/2 in", 1384.3),
        ("4'-6\"", 1371.6),
        ("50 µm", 0.05),
        ("50 μm", 0.05),
        ("1,234.5", 1234.5),
        ("1.234,5", 1234.5),
        ("12,345.67", 12345.67),
        ("12.345,67 mm", 12345.67),
        ("1234,567", 1234.567),
        ("0,234", 0.234),
        ("12,34", 12.34),
        ("1.234", 1.234),
        (1.5, 1.5),
        (2, 2.0),
    ],
)
def test_lengths_as_typed(text: object, mm: float) -> None:
    """Points, commas, fractions, primes and units all mean what a person in the trade means by them."""
    assert parse_length(text) == pytest.approx(mm, abs=1e-9)


@pytest.mark.origin("derived", INCH)
def test_a_bare_number_is_in_the_unit_of_the_drawing() -> None:
    """A named unit beats the default; a bare number takes it, whether typed or a number already."""
    assert parse_length("1.625", default_unit="inch") == pytest.approx(41.275)
    assert parse_length(1.625, default_unit="inch") == pytest.approx(41.275)
    assert parse_length("5 1/2", default_unit="inch") == pytest.approx(139.7)
    assert parse_length("1.625 mm", default_unit="inch") == 1.625


@pytest.mark.origin("practice", "14 ga steel by the table handed in")
def test_gauge_numbers_go_through_the_material() -> None:
    """A gauge number is handed to the material's table, however it is written."""
    for text in ("14 ga", "14ga", "14 gauge", "14 GAGE", "ga 14", "14 ga."):
        assert parse_length(text, gauge={14: 1.897}.__getitem__) == 1.897


@pytest.mark.origin("law", "blank is unknown, never 0")
@pytest.mark.parametrize("blank", [None, "", "   ", "\u00a0"])
def test_blank_is_unknown(blank: str | None) -> None:
    """An optional length left blank is None; a needed one is asked for."""
    assert parse_optional_length(blank) is None
    assert refusal(lambda: parse_length(blank, where="sheet")) == (
        "Q101 error [sheet]: This length is blank. Type it, for example 1.5 mm, 5 1/2 in or 0.0598 in."
    )


LENGTHS_ALLOWED = "Allowed: mm, cm, m, in, ft, thou."
ONE_NUMBER = "Write one number and, if you like, a unit, for example 1.5 mm, 5 1/2 in or 0.0598 in."
GROUPS = "Write the number without thousands marks, with one decimal point or comma."
FRACTION = "Write it like 3/8 or 5 1/2."
DOUBT = "Check the decimal mark and the unit."
REAL = "Type the real value; leave the field blank where it is not known."


@pytest.mark.origin("law", "never silently wrong: one reading, or a question")
@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("one and a half", f"Q102 error: 'one and a half' cannot be read as a length. {ONE_NUMBER}"),
        ("1 234", f"Q102 error: '1 234' cannot be read as a length. {ONE_NUMBER}"),
        ("5-3", f"Q102 error: '5-3' cannot be read as a length. {ONE_NUMBER}"),
        ("1_000", f"Q102 error: '1_000' cannot be read as a length. {ONE_NUMBER}"),
        ("٣", f"Q102 error: '٣' cannot be read as a length. {ONE_NUMBER}"),
        (
            "1,234",
            "Q103 error: '1,234' has two readings: 1.234 with a decimal comma or 1234 with a thousands comma. "
            "Write 1.234 or 1234.",
        ),
        (
            "12,345 mm",
            "Q103 error: '12,345 mm' has two readings: 12.345 with a decimal comma or 12345 with a thousands comma. "
            "Write 12.345 or 12345.",
        ),
        ("12,34.5", f"Q104 error: The marks in '12,34.5' do not split it into groups of three digits. {GROUPS}"),
        ("1.2.3", f"Q104 error: The marks in '1.2.3' do not split it into groups of three digits. {GROUPS}"),
        ("1,,5", f"Q104 error: The marks in '1,,5' do not split it into groups of three digits. {GROUPS}"),
        (
            "1.234.567,8.9",
            f"Q104 error: The marks in '1.234.567,8.9' do not split it into groups of three digits. {GROUPS}",
        ),
        ("5 furlongs", f"Q105 error: 'furlongs' in '5 furlongs' is not a unit of length known here. {LENGTHS_ALLOWED}"),
        ("1e3", f"Q105 error: 'e3' in '1e3' is not a unit of length known here. {LENGTHS_ALLOWED}"),
        ("90 deg", f"Q106 error: '90 deg' is an angle, but a length is wanted here. {LENGTHS_ALLOWED}"),
        ("5 kN", f"Q106 error: '5 kN' is a force, but a length is wanted here. {LENGTHS_ALLOWED}"),
        (
            "5 mil",
            "Q107 error: '5 mil': does mil mean a thousandth of an inch (0.127 mm) or a millimetre (5 mm)? "
            "Write thou or mm.",
        ),
        (
            "16 ga",
            "Q109 error: '16 ga' is a gauge number, and its thickness depends on the material: 14 ga is 1.897 mm in "
            "steel, 1.628 mm in aluminium. Name the material with it, or write the thickness in mm or inch.",
        ),
        ("-3", "Q110 error: The length '-3' is negative, and only more than 0 makes sense here. Check the sign."),
        ("−3 mm", "Q110 error: The length '−3 mm' is negative, and only more than 0 makes sense here. Check the sign."),
        (-3.0, "Q110 error: The length '-3.0' is negative, and only more than 0 makes sense here. Check the sign."),
        ("0", f"Q111 error: The length '0' is zero, and only more than 0 makes sense here. {REAL}"),
        (
            "1,234,567",
            "Q112 error: The length '1,234,567' comes to 1.23457e+06 mm, beyond the 100000 mm this program takes for "
            f"real. {DOUBT}",
        ),
        ("nan", f"Q113 error: 'nan' is not a finite number. {REAL}"),
        ("-Inf", f"Q113 error: '-Inf' is not a finite number. {REAL}"),
        (".nan", f"Q113 error: '.nan' is not a finite number. {REAL}"),
        (math.nan, f"Q113 error: 'nan' is not a finite number. {REAL}"),
        (math.inf, f"Q113 error: 'inf' is not a finite number. {REAL}"),
        (
            "1/0 in",
            "Q114 error: The fraction in '1/0 in' does not stand for a number: the number below the stroke is 0. "
            f"{FRACTION}",
        ),
        (
            "5 9/8",
            "Q114 error: The fraction in '5 9/8' does not stand for a number: after a whole number the fraction must "
            f"be less than 1. {FRACTION}",
        ),
        (
            "1.5/2",
            "Q114 error: The fraction in '1.5/2' does not stand for a number: whole numbers only above and below the "
            f"stroke. {FRACTION}",
        ),
        (True, f"Q115 error: A length is wanted here, but yes or no came. {ONE_NUMBER}"),
        ([1, 2], f"Q115 error: A length is wanted here, but a list came. {ONE_NUMBER}"),
        ({"mm": 1}, f"Q115 error: A length is wanted here, but a group of fields came. {ONE_NUMBER}"),
    ],
)
def test_what_is_refused_and_in_which_words(text: object, sentence: str) -> None:
    """Each refusal says what came, why it cannot be taken, and what to write."""
    assert refusal(lambda: parse_length(text)) == sentence


@pytest.mark.origin("law", "bad input costs no time and no traceback")
@pytest.mark.parametrize("text", ["9" * 10_000, "1/" + "9" * 10_000, "5 " * 10_000, "'" * 10_000, "{" * 50])
def test_endless_text_is_refused_at_once(text: str) -> None:
    """Long text is refused, and the finding quotes its beginning only."""
    assert len(refusal(lambda: parse_length(text))) < 300
    assert refusal(lambda: parse_length(10**400)).startswith("Q113")


@pytest.mark.origin("derived", "180/pi and sixtieths")
@pytest.mark.parametrize(
    ("text", "deg"),
    [
        ("90", 90.0),
        ("90°", 90.0),
        ("90 deg", 90.0),
        ("91,5", 91.5),
        ("90d30'", 90.5),
        ("90° 30' 36\"", 90.51),
        ("1 rad", 57.29577951308232),
        (87.8, 87.8),
    ],
)
def test_angles_as_typed(text: object, deg: float) -> None:
    """Degrees, decimal comma, minutes and seconds of arc, radians."""
    assert parse_angle_deg(text) == pytest.approx(deg, abs=1e-12)


@pytest.mark.origin("law", "an angle is no length and at most a full turn")
def test_angles_refused() -> None:
    """A length is no angle; more than a turn is a slip; 61 minutes are no minutes."""
    assert refusal(lambda: parse_angle_deg("5 mm")) == (
        "Q106 error: '5 mm' is a length, but an angle is wanted here. Allowed: deg, rad."
    )
    assert refusal(lambda: parse_angle_deg("400")) == (
        f"Q112 error: The angle '400' comes to 400 deg, beyond the 360 deg this program takes for real. {DOUBT}"
    )
    assert refusal(lambda: parse_angle_deg("90d61'")).startswith(
        "Q105 error: 'd61'' in '90d61'' is not a unit of angle"
    )


@pytest.mark.origin("memory", "pound-force 4.4482216152605 N, standard gravity 9.80665 m/s2 (SI definitions)")
def test_forces_loads_and_strengths_in_all_units() -> None:
    """US ton-force, tonne-force, ksi and their line loads, from the definitions of pound-force and inch."""
    assert parse_force_kn("100 US ton") == pytest.approx(889.6443230521)
    assert parse_force_kn("100 tonne") == pytest.approx(980.665)
    assert parse_force_kn("2000 lbf") == pytest.approx(parse_force_kn("1 short ton"))
    assert parse_force_kn("5000 N") == parse_force_kn("5") == 5.0
    assert parse_line_load_kn_per_m("600 N/mm") == parse_line_load_kn_per_m(600) == 600.0
    assert parse_line_load_kn_per_m("1 US ton/in") == pytest.approx(8.896443230521 / 0.0254)
    assert parse_line_load_kn_per_m("12 US ton/ft") == pytest.approx(parse_line_load_kn_per_m("1 US ton/in"))
    assert parse_line_load_kn_per_m("50 tonne/m") == pytest.approx(490.3325)
    assert parse_pressure_mpa("60 ksi") == pytest.approx(413.6854, abs=1e-4)
    assert parse_pressure_mpa("60000 psi") == pytest.approx(parse_pressure_mpa("60 ksi"))
    assert parse_pressure_mpa("420 N/mm²") == parse_pressure_mpa("420") == 420.0
    assert parse_pressure_mpa("210 GPa") == 210_000.0


@pytest.mark.origin("law", "a ton alone is no unit")
@pytest.mark.parametrize("text", ["100 t", "100 ton", "100 tons"])
def test_which_ton(text: str) -> None:
    """A bare ton could be 8.9 or 9.8 kN, and is asked about; per metre too."""
    question = "which ton is meant? A US ton-force is 8.896 kN, a tonne-force 9.807 kN. Write kN, US ton or tonne."
    assert refusal(lambda: parse_force_kn(text)) == f"Q108 error: '{text}': {question}"
    assert refusal(lambda: parse_line_load_kn_per_m(f"{text}/m")) == f"Q108 error: '{text}/m': {question}"


@pytest.mark.origin("law", "zero and negative only where asked for")
def test_zero_and_negative_where_allowed() -> None:
    """The two switches let through exactly what they name; a plain number takes no unit."""
    assert parse_length("0", allow_zero=True) == 0.0
    assert parse_length("-5 1/2 in", allow_negative=True) == pytest.approx(-139.7)
    assert parse_angle_deg("0", allow_zero=True) == 0.0
    assert parse_number("0,42") == 0.42
    assert refusal(lambda: parse_length("0", allow_negative=True)).startswith("Q111")
    assert refusal(lambda: parse_length("-1", allow_zero=True)).startswith("Q110")
    assert refusal(lambda: parse_number("5 mm")) == (
        "Q106 error: '5 mm' is a length, but a number is wanted here. Allowed: a bare number."
    )


@pytest.mark.origin("law", "round trip")
@given(st.integers(1, 9_999_999), st.booleans())
def test_what_is_printed_reads_back(hundredths: int, comma: bool) -> None:
    """A length printed in mm with two decimals reads back as the same number, with point and with comma."""
    length_mm = hundredths / 100.0
    assert parse_length(format_length(length_mm, decimal_comma=comma)) == length_mm


@pytest.mark.origin("law", "round trip")
@given(st.integers(1, 3_000_000), st.booleans())
def test_inches_read_back_or_are_asked_about(thousandths: int, comma: bool) -> None:
    """Three decimals of an inch read back too; with a comma they may be taken for thousands, then they are refused."""
    length_mm = thousandths / 1000.0 * 25.4
    printed = format_length(length_mm, unit="inch", decimal_comma=comma)
    try:
        assert parse_length(printed) == pytest.approx(length_mm, abs=1e-9)
    except InputError as error:
        asked = error.findings[0].code
        assert (comma, asked) == (True, "Q103")


@pytest.mark.origin("law", "any text gives a number in range or one finding")
@given(st.text(alphabet="0123456789.,/-+ '\"°½mingatohd_eE\u00a0", max_size=14))
def test_any_text_is_a_number_or_a_finding(text: str) -> None:
    """Nothing typed ends in anything but a positive finite length or an InputError; the same text always the same."""
    answers = {_value_or_code(typed) for typed in (text, f" {text.upper()} ")}
    assert len(answers) == 1
    answer = answers.pop()
    assert answer.startswith("Q1") if isinstance(answer, str) else 0.0 < answer <= 100_000.0


def _value_or_code(text: str) -> float | str:
    """The length, or the code it is refused with."""
    try:
        return parse_length(text, gauge=lambda number: 25.4 / (number + 1))
    except InputError as error:
        return error.findings[0].code


@pytest.mark.origin("law", "figures for paper")
def test_figures_for_paper() -> None:
    """Half rounds away from zero as on paper, no minus zero, both units on request."""
    assert format_length(41.275, unit="both") == "41.28 mm (1.625 in)"
    assert format_length(41.275, decimal_comma=True) == "41,28 mm"
    assert format_length(1.005) == "1.01 mm"
    assert format_length(-0.001) == "0.00 mm"
    assert format_length(53.61, decimals=1) == "53.6 mm"
    assert format_number(-2.5, decimals=0) == "-3"
    assert format_number(1234567.0, decimals=1) == "1234567.0"
    assert Band(146.0, 183.0).middle == 164.5
