"""Units: exact constants by their published figures, and text that people type."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck import units
from routecheck.units import duration_s, length_m, percent_of, share_and_length, speed_kn


def test_constants_by_their_published_figures() -> None:
    # BIPM, The International System of Units, 8th edition (2006), Table 8.
    assert units.METRES_PER_NMI == 1852.0
    assert pytest.approx(1852.0 / 3600.0, rel=1e-15) == units.MPS_PER_KNOT
    # NIST SP 811 (2008), Appendix B.8: foot, fathom (of six international feet), inch.
    assert units.METRES_PER_FOOT == 0.3048
    assert units.METRES_PER_FATHOM == 1.8288
    assert length_m("1 in") == pytest.approx(0.0254, rel=1e-15)
    # NIST SP 811 (2008), Appendix B.6 and B.8: U.S. survey foot 3.048006 E-01 m.
    assert pytest.approx(0.3048006, abs=5e-8) == units.METRES_PER_US_SURVEY_FOOT
    # NIST SP 811 (2008), Appendix B.8: knot to metre per second 5.144444 E-01.
    assert pytest.approx(0.5144444, abs=5e-8) == units.MPS_PER_KNOT


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1.9 m", 1.9),
        ("1.9m", 1.9),
        (" 190 cm ", 1.9),
        ("19 dm", 1.9),
        ("6 ft 3 in", 1.905),
        ("6'3\"", 1.905),
        ("6 feet", 1.8288),
        ("1 fathom", 1.8288),
        ("2 fm", 3.6576),
        ("0.1 nmi", 185.2),
        ("1 cable", 185.2),
        ("1 KM", 1000.0),
        ("-0.4 m", -0.4),
        ("-1 ft 6 in", -0.4572),
        ("+.5 m", 0.5),
        ("1e-1 km", 100.0),
        ("0 m", 0.0),
    ],
)
def test_lengths(text: str, metres: float) -> None:
    assert length_m(text) == pytest.approx(metres, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1.9", "no unit"),
        (1.9, "no unit"),
        (True, "no unit"),
        (None, "no unit"),
        (["1 m"], "no unit"),
        ("", "empty"),
        ("m", "cannot be read"),
        ("1.9 kg", "'kg', which is no unit of length"),
        ("1.9 nm", "no unit of length"),
        ("0.1 M", "metres or nautical miles"),
        ("1,9 m", "no unit of length"),
        ("1 m 2", "no unit"),
        ("2 m -3 cm", "minus sign in the middle"),
        ("nan m", "cannot be read"),
        ("1e999 m", "not a finite number"),
        ("٣ m", "cannot be read"),
        ("1 " + "m" * 100, "102 characters"),
    ],
)
def test_lengths_that_are_none(text: object, said: str) -> None:
    with pytest.raises(ValueError, match="length") as caught:
        length_m(text)
    assert said in str(caught.value)


def test_speeds_and_times() -> None:
    assert speed_kn("5.5 kn") == 5.5
    assert speed_kn("10 m/s") == pytest.approx(19.4384449, abs=1e-7)
    assert speed_kn("1.852 km/h") == pytest.approx(1.0, abs=1e-12)
    assert duration_s("1 h 30 min") == 5400.0
    assert duration_s("2 d") == 172800.0
    for text in ("5 m", "5"):
        with pytest.raises(ValueError, match="speed"):
            speed_kn(text)
    with pytest.raises(ValueError, match="no unit of time"):
        duration_s("30 m")


def test_shares() -> None:
    assert percent_of("20 % of draught") == pytest.approx(0.2)
    assert percent_of("1%") == pytest.approx(0.01)
    for text in ("20", "% 20", "-5 %", "1 % m", "9" * 400 + " %"):
        assert percent_of(text) is None
    assert share_and_length("0.5 m + 1 %") == (0.5, 0.01)
    assert share_and_length("2 %") == (0.0, 0.02)
    assert share_and_length("0.5 m") == (0.5, 0.0)
    for bad in ("0.5", "-1 m", "1 m +", 3, "1e300 km + 1e308 km"):
        with pytest.raises(ValueError):
            share_and_length(bad)


@given(st.floats(-1e6, 1e6), st.sampled_from(["m", "ft", "nmi", "fm", "cm"]))
def test_every_length_survives(value: float, unit: str) -> None:
    scale = length_m(f"1 {unit}")
    assert length_m(f"{value!r} {unit}") == pytest.approx(value * scale, rel=1e-12, abs=1e-300)


@given(st.text(max_size=30) | st.text(alphabet="0123456789.eE+- mftnik'\"", max_size=30))
def test_text_is_a_finite_length_or_refused(text: str) -> None:
    try:
        found = length_m(text)
    except ValueError:
        return
    assert math.isfinite(found)
