"""The edge: what people type for lengths, temperatures and percentages, and how lengths are printed."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from woodmove.units.parse import (
    parse_angle_deg,
    parse_date,
    parse_humidity_pct,
    parse_length_mm,
    parse_moisture_pct,
    parse_percent,
    parse_temperature_c,
    parse_whole,
)
from woodmove.units.show import length_text, shop_fraction, show_number, with_unit

INCH = 25.4
quickly = settings(deadline=None)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1in", INCH),
        ("0", 0),  # in any unit
        ("1-1/2in", 1.5 * INCH),
        ("1 1/2in", 1.5 * INCH),
        ("3/64in", 3 / 64 * INCH),
        ("1.5 in", 1.5 * INCH),
        (".5in", 0.5 * INCH),
        ("5.in", 5 * INCH),
        ('1 1/2"', 1.5 * INCH),
        ("3''", 3 * INCH),
        ("2 inches", 2 * INCH),
        ("1 INCH", INCH),
        ("1½in", 1.5 * INCH),
        ("1½ in", 1.5 * INCH),
        ("1 ½in", 1.5 * INCH),
        ("1-½in", 1.5 * INCH),
        ("½in", 0.5 * INCH),
        ("1 1⁄2″", 1.5 * INCH),
        ("6ft 3in", 75 * INCH),
        ("6ft3in", 75 * INCH),
        ("6' 3\"", 75 * INCH),
        ("6′3″", 75 * INCH),
        ("6’ 3”", 75 * INCH),
        ("3' 4''", 40 * INCH),
        ("6ft 3-1/2in", 75.5 * INCH),
        ("3 feet 2 inches", 38 * INCH),
        ("2ft", 24 * INCH),
        ("38mm", 38),
        ("38 MM", 38),
        ("3.8cm", 38),
        ("1.5m", 1500),
        ("2 millimetres", 2),
        ("2 millimeters", 2),
        ("  38mm  ", 38),
        ("38\u00a0mm", 38),
        ("-3/4in", -0.75 * INCH),
        ("-6ft 3in", -75 * INCH),
        ("−5mm", -5),
        ("–5mm", -5),
        ("0mm", 0),
    ],
)
def test_lengths(text, mm):
    assert parse_length_mm(text) == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    ["", " ", "in", "six", "1/0in", "1-1/0in", "1/0", "nan", "inf", "1e3mm", "5 mi", "5 mph", "--3in", "3in-",
     "3in 2ft", "3in 3in", "3mm 2mm", "5ft 3", "1 000mm", "1,5in", "1.5/2in", "1//2", "3/4/2in", "1-1-1/2in",
     "3 - 4in", "2 1/2 1/4in", "½½in", "1/2½in", "4 -1/2", "0x10", "1_000mm", "$5"],
)  # fmt: skip
def test_what_is_no_length(text):
    with pytest.raises(ValueError, match=r"is not a length|divides by zero"):
        parse_length_mm(text)


@pytest.mark.parametrize("text", ["5²in", "5²", "30₂mm"])
def test_a_raised_digit_is_no_digit(text):
    with pytest.raises(ValueError, match="is not a length"):
        parse_length_mm(text)


def test_a_number_of_hundreds_of_digits_is_no_length():
    with pytest.raises(ValueError, match="too long a number"):
        parse_length_mm("9" * 400 + "mm")


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("21C", 21),
        ("21 °C", 21),
        ("21c", 21),
        ("70F", 190 / 9),
        ("70 °F", 190 / 9),
        ("70 deg F", 190 / 9),
        ("-4F", -20),
        ("−20C", -20),
        ("+5C", 5),
        (".5C", 0.5),
        ("70℉", 190 / 9),
    ],
)
def test_temperatures(text, celsius):
    assert parse_temperature_c(text) == pytest.approx(celsius)


@pytest.mark.parametrize("text", ["", "warm", "70 K", "°F", "nan", "inf", "1e2", "70FF", "--4", "70F 20C"])
def test_what_is_no_temperature(text):
    with pytest.raises(ValueError, match="is not a temperature"):
        parse_temperature_c(text)


@pytest.mark.parametrize(
    ("text", "percent"),
    [("50", 50), ("50%", 50), ("50 %", 50), ("50％", 50), ("0.5", 0.5), (".5", 0.5), ("-3", -3)],
)
def test_percentages(text, percent):
    assert parse_percent(text) == percent


@pytest.mark.parametrize("text", ["", "%", "half", "50%%", "nan", "inf", "-inf", "1e1", "5 0", "½", "0,5"])
def test_what_is_no_percentage(text):
    with pytest.raises(ValueError, match="is not a number"):
        parse_percent(text)


@pytest.mark.parametrize(("text", "percent"), [("12", 12), ("0.5%", 0.5), ("1", 1), ("0", 0), ("1.2", 1.2)])
def test_moisture(text, percent):
    assert parse_moisture_pct(text) == percent


@pytest.mark.parametrize(("text", "whole"), [("0.12", "12"), (".5", "50"), ("0.117", "11.7")])
def test_a_fraction_of_1_is_refused_with_both_readings(text, whole):
    with pytest.raises(ValueError, match=f"or {whole} % as a fraction of 1: say {whole}, or 0"):
        parse_moisture_pct(text)


@pytest.mark.parametrize("text", ["0.5", "1", "1.2", "1.5"])
def test_a_humidity_that_is_surely_a_fraction_is_refused_with_both_readings(text):
    readings = rf"{text} is {text} %, or {float(text) * 100:g} % as a fraction of 1"
    with pytest.raises(ValueError, match=readings):
        parse_humidity_pct(text)
    assert parse_humidity_pct(f"{text}%") == float(text)


@pytest.mark.parametrize("text", ["30", "30°", "30deg", "30 degrees", "30 DEG"])
def test_angles(text):
    assert parse_angle_deg(text) == 30


def test_whole_numbers_and_dates():
    assert parse_whole("-4") == -4
    assert parse_date(" 2027-01-15 ") == date(2027, 1, 15)
    for text in ("", "4.0", "1e3", "four"):
        with pytest.raises(ValueError, match="is not a whole number"):
            parse_whole(text)
    for text in ("", "15.1.2027", "2027-02-30", "tomorrow", "9999-12-31", "1812-06-01"):
        with pytest.raises(ValueError, match="is not a date"):
            parse_date(text)


@pytest.mark.parametrize(
    ("inches", "shown"),
    [
        (0, "0"),
        (1.5, "1-1/2"),
        (3 / 64, "3/64"),
        (-0.625, "-5/8"),
        (-1.5, "-1-1/2"),
        (12, "12"),
        (0.999, "1"),  # the nearest 64th, carried over
        (-1.999, "-2"),
        (1 / 129, "0"),
        (-1 / 129, "0"),  # never -0
    ],
)
def test_shop_fractions(inches, shown):
    assert shop_fraction(inches) == shown


@quickly
@given(st.floats(-5000, 5000))
def test_a_shop_fraction_reads_back_to_half_a_sixty_fourth(inches):
    back = parse_length_mm(shop_fraction(inches) + "in") / INCH
    assert abs(back - inches) <= 1 / 128 + 1e-9


@quickly
@given(st.integers(-64 * 1000, 64 * 1000))
def test_a_sixty_fourth_reads_back_as_itself(parts):
    shown = shop_fraction(parts / 64)
    back = parse_length_mm(shown + "in")
    assert back == pytest.approx(parts / 64 * INCH, rel=1e-12)
    assert shop_fraction(back / INCH) == shown


@quickly
@given(
    whole=st.integers(0, 500),
    fraction=st.fractions(0, Fraction(63, 64), max_denominator=64),
    join=st.sampled_from("- "),
    sign=st.sampled_from(["", "-"]),
    unit=st.sampled_from([("in", INCH), ('"', INCH), ("mm", 1.0), ("cm", 10.0), ("ft", 304.8)]),
)
def test_mixed_fractions_read_as_their_sum(whole, fraction, join, sign, unit):
    name, mm_per = unit
    text = f"{sign}{whole}{join}{fraction.numerator}/{fraction.denominator}{name}"
    value = float(whole + fraction) * mm_per * (-1 if sign else 1)
    assert parse_length_mm(text) == pytest.approx(value, rel=1e-12)


@quickly
@given(st.decimals(-5000, 5000, places=3, allow_nan=False))
def test_decimal_millimetres_read_as_themselves(mm):
    assert parse_length_mm(f"{mm}mm") == float(mm)


@quickly
@given(st.text(max_size=12))
def test_any_text_is_a_number_or_a_value_error(text):
    parsers = (
        parse_length_mm, parse_temperature_c, parse_percent, parse_angle_deg,
    )  # fmt: skip
    for parse in parsers:
        try:
            assert isinstance(parse(text), float)
        except ValueError as refused:
            assert str(refused)  # noqa: PT017


@pytest.mark.parametrize(
    ("name", "value", "inches", "metric"),
    [
        ("width_mm", 38.1, "1-1/2 in", "38.1 mm"),
        ("width_mm", -0.01, "0 in", "0.0 mm"),
        ("temp_c", 20.0, "68 °F", "20.0 °C"),
        ("rh_pct", -0.001, "0.0 %", "0.0 %"),
        ("ring_angle_deg", 30.0, "30°", "30°"),
        ("radial_per_pct", 0.00165, "0.00165 per % MC", "0.00165 per % MC"),
    ],
)
def test_a_number_is_shown_by_the_unit_in_its_name(name, value, inches, metric):
    for system, shown in (("in", inches), ("mm", metric)):
        assert with_unit(name, show_number(name, value, system), system) == shown


def test_lengths_in_messages_are_in_both_systems():
    assert length_text(38.1) == "1-1/2 in (38.1 mm)"
    assert length_text(3) == "1/8 in (3 mm)"
