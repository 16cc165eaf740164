"""Harmonic prediction against published predictions and independent libraries."""

from __future__ import annotations

import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import (
    DAY_S,
    Harmonic,
    day_waves,
    heights_m,
    local_to_greenwich_phase_deg,
    lowest_and_highest_m,
    mid_year_s,
    node_corrections,
)
from routecheck.units import METRES_PER_FOOT
from tests.published.load import published

ONE_CENTIMETRE = 0.01
AUTHORITIES = Path(__file__).resolve().parent.parent / "authorities"


def unix(text: str) -> float:
    return datetime.fromisoformat(text).timestamp()


def harmonics(constants: Any) -> list[Harmonic]:
    return [
        Harmonic(constituent=constituent(name), amplitude_m=height, phase_deg=lag)
        for name, (height, lag) in constants
    ]


def stations(real_data: Path) -> dict[str, dict[str, tuple[float, float]]]:
    text = (real_data / "tides_neaps" / "stations_subset.json").read_text(encoding="utf-8")
    return {
        one["id"]: {c["name"]: (c["amplitude"], c["phase"]) for c in one["harmonic_constituents"]}
        for one in json.loads(text)
    }


def test_noaas_high_and_low_waters_to_the_minute() -> None:
    """NOAA takes its node factors in the middle of the year; so does this prediction."""
    (value,) = published("eastport", "high and low waters")
    parts = harmonics(value.inputs["constants"].items())
    assert len(parts) == 37
    start = value.inputs["start"].timestamp()
    time_s = start + np.arange(-60.0, DAY_S, 6.0)
    heights = heights_m(parts, time_s, mid_year=True) + value.inputs["msl_above_mllw_m"]
    turns = 1 + np.flatnonzero(np.diff(np.sign(np.diff(heights))))
    found: dict[str, float] = {}
    for name, at in zip(("first", "second", "third", "fourth"), turns, strict=True):
        found[f"{name}_min"] = (time_s[at] - start) / 60.0
        found[f"{name}_ft"] = heights[at] / METRES_PER_FOOT
    value.check(**found)


@pytest.mark.parametrize(("mid_year", "rmse_m"), [(True, 0.0092), (False, 0.0115)])
def test_vlissingen_2019(real_data: Path, mid_year: bool, rmse_m: float) -> None:
    """Rijkswaterstaat, prediction for Vlissingen 2019 (VLISSGN_pre.txt), from its 94 constants.

    Times and phases are in UTC+1, heights in whole centimetres above NAP. The Rijkswaterstaat takes
    its node factors in the middle of the year, and those of twelve constituents only in part;
    without that share 0.9 cm remain.
    """
    folder = real_data / "tides_rws_hatyan"
    parts = []
    for line in (folder / "VLISSGN_ana.txt").read_text(encoding="latin-1").splitlines():
        if line.startswith("COMP"):
            _, _, speed, amplitude_cm, phase, name = line.split()
            one = constituent(name)
            assert one.speed_deg_per_h == pytest.approx(float(speed), abs=2e-6), name
            parts.append(
                Harmonic(
                    constituent=one, amplitude_m=float(amplitude_cm) / 100, phase_deg=float(phase)
                )
            )
    assert len(parts) == 94
    text = (folder / "VLISSGN_pre.txt").read_text(encoding="latin-1").partition("[WRD]")[2]
    published_m = np.array([int(v) for v in re.findall(r"(-?\d+)/0", text)]) / 100.0
    assert len(published_m) == 52_560
    # The clock of the file is taken for UTC, as its phases are.
    time_s = unix("2019-01-01T00:00Z") + 600.0 * np.arange(52_560)
    error_m = heights_m(parts, time_s, mid_year=mid_year) + 0.01 - published_m
    assert float(np.sqrt(np.mean(error_m**2))) < rmse_m
    assert not mid_year or rmse_m < ONE_CENTIMETRE


def test_ten_stations_against_hatyan(real_data: Path) -> None:
    """hatyan 2.14 (tests/authorities): within half a centimetre over a year, at all ten.

    What remains is the long-period MSF, to which that library gives another node factor than the
    IHO's list does.
    """
    kept = json.loads((AUTHORITIES / "hatyan_heights.json").read_text(encoding="utf-8"))
    all_constants = stations(real_data)
    assert len(kept["stations"]) == 10
    for station, record in kept["stations"].items():
        parts = harmonics((n, all_constants[station][n]) for n in record["constituents"])
        theirs_m = np.array(record["height_mm"]) / 1000.0
        time_s = unix(kept["start"]) + 60.0 * kept["step_min"] * np.arange(len(theirs_m))
        off_m = np.abs(heights_m(parts, time_s) - theirs_m)
        assert float(off_m.max()) < 0.6 * ONE_CENTIMETRE, station
        assert float(np.median(off_m)) < 0.004, station


# pyfes defines M1 by the moon's perigee alone, and OO1 otherwise; MA2 and MB2 it does not know.
OTHERWISE = {"M1", "OO1", "MA2", "MB2"}
PYFES_NAMES = {
    "LAM2": "Lambda2",
    "LAMBDA2": "Lambda2",
    "RHO": "Rho1",
    "RHO1": "Rho1",
    "SGM": "Sigma1",
    "EP2": "Eps2",
    "MTM": "Mtm",
}


def test_ten_stations_against_pyfes(real_data: Path) -> None:
    """pyfes 2026.5 (CNES), Doodson engine, nothing inferred: within a centimetre over a year."""
    pyfes = pytest.importorskip("pyfes", reason="pyfes is not installed: pip install pyfes")
    settings = (
        pyfes.PerthSettings()
        .with_compute_long_period_equilibrium(False)
        .with_inference_type(pyfes.ZERO)
    )
    names = {name.upper(): name for name in pyfes.known_constituents()} | PYFES_NAMES
    time_s = unix("2025-01-01T00:00Z") + 3600.0 * np.arange(365 * 24)
    dates = time_s.astype("datetime64[s]").astype("datetime64[us]")
    for station, constants in stations(real_data).items():
        both = {
            name: constants[name]
            for name in constants
            if name in names and name not in OTHERWISE and constants[name][0] > 0.0
        }
        assert len(both) > 25, station
        theirs = pyfes.evaluate_tide_from_constituents(
            {names[n]: v for n, v in both.items()}, dates, 45.0, settings=settings
        )
        ours_m = heights_m(harmonics(both.items()), time_s)
        assert float(np.abs(ours_m - theirs[0] - theirs[1]).max()) < ONE_CENTIMETRE, station


# Schureman SP 98: greatest and least node factors, at N = 0 and 180 degrees, from his own formulae
# cos I = 0.91370 - 0.03569 cos N and those for f (to the digits of a hand computation).
@pytest.mark.parametrize(
    ("when", "f_m2", "f_k1", "f_o1", "f_k2", "f_mf", "f_mm"),
    [
        ("2006-06-19T00:00Z", 0.9632, 1.1128, 1.1828, 1.3162, 1.4518, 0.8715),
        ("2015-10-08T00:00Z", 1.0378, 0.8817, 0.8057, 0.7462, 0.6252, 1.1313),
    ],
)
def test_node_factors_at_the_extremes(
    when: str, f_m2: float, f_k1: float, f_o1: float, f_k2: float, f_mf: float, f_mm: float
) -> None:
    names = ("M2", "K1", "O1", "K2", "MF", "MM", "S2")
    f, u = node_corrections([constituent(n) for n in names], [unix(when)])
    assert f[:, 0] == pytest.approx([f_m2, f_k1, f_o1, f_k2, f_mf, f_mm, 1.0], abs=2.5e-4)
    assert np.abs(u[:, 0]).max() < 0.15


def test_the_middle_of_the_year() -> None:
    assert mid_year_s(unix("2020-01-01T00:00Z")) == unix("2020-07-02T12:00Z")
    assert mid_year_s(unix("2020-12-31T23:59Z")) == unix("2020-07-02T12:00Z")


def test_local_phases() -> None:
    """Schureman, paragraph 226: g = kappa + p L, L the west longitude (a worked sum by hand)."""
    assert local_to_greenwich_phase_deg(330.0, constituent("M2"), -75.0) == pytest.approx(120.0)
    assert local_to_greenwich_phase_deg(10.0, constituent("O1"), 20.0) == pytest.approx(350.0)
    assert local_to_greenwich_phase_deg(10.0, constituent("SA"), 20.0) == pytest.approx(10.0)


def test_a_day_joins_the_next_without_a_step() -> None:
    parts = harmonics([("M2", (3.0, 40.0)), ("K1", (0.5, 10.0)), ("L2", (0.2, 3.0))])
    for day in range(20_000, 20_400, 7):
        end = np.array([(day + 1) * DAY_S])
        before, after = (wave.heights_m(end) for wave in day_waves(parts, [day, day + 1]))
        assert float(np.abs(before - after)[0]) < 0.0005


def test_the_bend_bounds_the_curve() -> None:
    parts = harmonics([("M2", (2.6, 98.4)), ("M4", (0.2, 10.0)), ("M6", (0.1, 200.0))])
    (wave,) = day_waves(parts, [20_000])
    for step_s in (60.0, 600.0, 1800.0):
        nodes = wave.start_s + step_s * np.arange(int(DAY_S / step_s) + 1)
        fine = np.linspace(nodes[0], nodes[-1], 20_001)
        chord = np.interp(fine, nodes, wave.heights_m(nodes))
        leaves = float(np.abs(wave.heights_m(fine) - chord).max())
        assert 0.1 * wave.bend_m(step_s) < leaves <= wave.bend_m(step_s) * (1 + 1e-9) + 1e-12


def test_lowest_and_highest_bound_every_minute() -> None:
    parts = harmonics([("M2", (2.0, 98.4)), ("S2", (0.7, 140.0)), ("K1", (0.3, 7.0))])
    lowest_m, highest_m = lowest_and_highest_m(parts, 20_000, 60)
    minutes = heights_m(parts, 20_000 * DAY_S + 60.0 * np.arange(60 * 1440))
    assert lowest_m <= float(minutes.min()) < lowest_m + 0.03
    assert highest_m >= float(minutes.max()) > highest_m - 0.03


# NOAA CO-OPS, datums of Eastport 8410140: LAT 0.410 m and HAT 8.400 m, MSL 4.420 m above station
# datum; "LAT and HAT" are the lowest and highest predicted over 19 years.
def test_lowest_astronomical_tide_of_eastport() -> None:
    (value,) = published("eastport", "high and low waters")
    parts = harmonics(value.inputs["constants"].items())
    first = int(unix("1983-01-01T00:00Z") // DAY_S)
    lowest_m, highest_m = lowest_and_highest_m(parts, first, 19 * 365 + 5, mid_year=True)
    assert lowest_m == pytest.approx(0.410 - 4.420, abs=0.06)
    assert highest_m == pytest.approx(8.400 - 4.420, abs=0.06)
    assert lowest_m < 0.410 - 4.420 < highest_m
