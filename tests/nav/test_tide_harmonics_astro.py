"""Mean longitudes and node corrections, each by itself, over more than a turn of the moon's node.

pyfes 2026.5 (CNES, FES2022): its Darwin engine holds Schureman's formulae, with the mean longitudes
of his Table 1 to the third order.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

import numpy as np
import pytest

from routecheck.nav import tide_harmonics
from routecheck.nav.tide_constituents import Constituent, constituent
from routecheck.nav.tide_harmonics import _longitude_deg, _nodes, arguments_deg, node_corrections

pyfes = pytest.importorskip("pyfes", reason="pyfes is not installed: pip install pyfes")

# Noon of 31 December 1899, and 1 and 1.25 Julian centuries of 36525 days later, by counting days.
NOONS = ["1899-12-31T12:00Z", "2000-01-01T12:00Z", "2024-12-31T18:00Z"]
CENTURIES = np.array([0.0, 1.0, 1.25])

# Degrees, minutes and seconds at that epoch; whole turns, degrees, minutes and seconds in a
# century; seconds in its square. The sun, the perihelion, the moon's perigee and node: Explanatory
# Supplement to the Astronomical Ephemeris (1961), chapters 4B and 4C; the moon: E. W. Brown, Tables
# of the Motion of the Moon (1919), before that book took out the great empirical term. From memory.
ELEMENTS = {
    "s": ((270, 26, 11.71), (1336, 307, 53, 26.06), 7.14),
    "h": ((279, 41, 48.04), (100, 0, 46, 8.13), 1.089),
    "p": ((334, 19, 46.40), (11, 109, 2, 2.52), -37.17),
    "p1": ((281, 13, 15.00), (0, 1, 43, 9.03), 1.63),
    "n": ((259, 10, 59.79), (-5, -134, -8, -31.23), 7.48),
}
TENTH_OF_AN_ARCSEC_DEG = 0.1 / 3600.0


def turned(deg: Any) -> Any:
    """To within half a turn."""
    return (np.asarray(deg) + 180.0) % 360.0 - 180.0


def expected_deg(name: str) -> Any:
    (d0, m0, s0), (turns, d1, m1, s1), squared = ELEMENTS[name]
    start = d0 + m0 / 60.0 + s0 / 3600.0
    rate = 360.0 * turns + d1 + m1 / 60.0 + s1 / 3600.0
    return start + rate * CENTURIES + squared / 3600.0 * CENTURIES**2


@pytest.mark.parametrize(
    ("name", "turns"),
    [
        ("s", (0, 1, 0, 0, 0)),
        ("h", (0, 0, 1, 0, 0)),
        ("p", (0, 0, 0, 1, 0)),
        ("p1", (0,) * 4 + (1,)),
    ],
)
def test_mean_longitudes(name: str, turns: tuple[int, int, int, int, int]) -> None:
    time_s = [datetime.fromisoformat(noon).timestamp() for noon in NOONS]
    (found,) = arguments_deg([Constituent(name=name, turns=turns, offset_deg=0.0)], time_s)
    assert np.abs(turned(found - expected_deg(name))).max() < TENTH_OF_AN_ARCSEC_DEG


def test_the_node() -> None:
    found = _longitude_deg(tide_harmonics._NODE, CENTURIES)
    assert np.abs(turned(found - expected_deg("n"))).max() < TENTH_OF_AN_ARCSEC_DEG
    assert ((found >= 0.0) & (found < 360.0)).all()


def test_tau_runs_from_the_moons_lower_transit() -> None:
    """At midnight of Greenwich tau is h - s, at six in the morning a quarter of a turn more."""
    midnight_s = datetime.fromisoformat("2021-05-05T00:00Z").timestamp()
    rows = [(1, 0, 0, 0, 0), (0, 1, 0, 0, 0), (0, 0, 1, 0, 0)]
    parts = [Constituent(name="", turns=turns, offset_deg=0.0) for turns in rows]
    tau, s, h = arguments_deg(parts, midnight_s + np.array([0.0, 21_600.0, 50_400.0]))
    assert turned(tau - (h - s)) == pytest.approx([0.0, 90.0, -150.0], abs=1e-9)


DATES = np.arange(
    np.datetime64("2000-01-01T07:00", "us"),
    np.datetime64("2037-01-01", "us"),
    np.timedelta64(97 * 24 + 5, "h"),
)
TIME_S = DATES.astype("int64") / 1e6

# Where pyfes holds something else: M1 by the perigee alone; MSF with the node angle of M2 and not
# its opposite; STA as 3 h less the perihelion; names that it reads in another way.
OTHERWISE = {"M1", "M12", "MSf", "Sta", "2MK6", "2MN2", "2NM6", "ML4", "MP1", "MSK6", "OQ2", "SO1"}
UNKNOWN = {"A5", "Eta2", "L2P", "M0", "M11", "M13", "Mf1", "Mf2", "Mm1", "Mm2", "N2P", "R4", "Sa1"}
TABLE = pyfes.wave_table_factory(pyfes.DARWIN)
BOTH = [n for n in TABLE.constituents if n not in OTHERWISE | UNKNOWN]


@pytest.fixture(scope="module")
def theirs() -> dict[str, tuple[Any, Any]]:
    """Node factor and V + u in degrees, by constituent."""
    f, vu = TABLE.compute_nodal_modulations(DATES, pyfes.Formulae.SCHUREMAN_ORDER_3)
    return dict(zip(TABLE.constituents, zip(f, np.degrees(vu), strict=True), strict=True))


def test_each_constituent(theirs: dict[str, tuple[Any, Any]]) -> None:
    """Factors to a ten-thousandth, angles to 0.04 degrees: 10" of mean longitude, twice or so."""
    assert len(BOTH) > 70
    parts = [constituent(name) for name in BOTH]
    f, u = node_corrections(parts, TIME_S)
    v = arguments_deg(parts, TIME_S)
    for name, own_f, own_vu in zip(BOTH, f, v + u, strict=True):
        their_f, their_vu = theirs[name]
        assert np.abs(own_f - their_f).max() < 1e-4, name
        assert np.abs(turned(own_vu - their_vu)).max() < 0.045, name


def their_angles(name: str) -> Any:
    found = []
    angles = pyfes.AstronomicAngle(pyfes.Formulae.SCHUREMAN_ORDER_3)
    for date in DATES:
        angles.update(date.astype(object))
        found.append(getattr(angles, name))
    return np.array(found)


@pytest.mark.parametrize(
    ("name", "own", "times"),
    [("xi", "xi", 1), ("nu", "nu", 1), ("nuprim", "nu1", 1), ("nusec", "nu2", 2), ("r", "r", 1)],
)
def test_node_angles(name: str, own: str, times: int) -> None:
    """To 0.001 degrees, R of L2 to 0.006: pyfes has 2 nu'' as twice its angle."""
    _, angles = _nodes(TIME_S)
    off = turned(np.degrees(angles[own] - times * their_angles(name)))
    assert np.abs(off).max() < (0.006 if own == "r" else 0.001)


def test_m1_and_its_q() -> None:
    """Schureman, formulae 197 and 203 (from memory), with the inclination that pyfes has."""
    factors, angles = _nodes(TIME_S)
    cos_i, p = np.cos(their_angles("i")), angles["p_xi"]
    assert np.abs(turned(np.degrees(p - their_angles("p") + their_angles("xi")))).max() < 0.006
    ratio = (5.0 * cos_i - 1.0) / (7.0 * cos_i + 1.0)
    assert np.abs(np.arctan2(ratio * np.sin(p), np.cos(p)) - angles["q"]).max() < 1e-5
    by_half = cos_i / ((1.0 + cos_i) / 2.0)
    squared = 0.25 + 1.5 * by_half * np.cos(2.0 * p) + 2.25 * by_half**2
    assert (factors["M1"] / factors["O1"]) ** 2 == pytest.approx(squared, rel=1e-4)
