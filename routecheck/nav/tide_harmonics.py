"""Heights of tide from harmonic constants: h(t) = Z0 + sum of f H cos(V + u - g).

P. Schureman, Manual of Harmonic Analysis and Prediction of Tides, U.S. Coast and Geodetic
Survey SP 98 (1940, rev. 1958): mean longitudes of Table 1, inclination and node angles by
paragraphs 23 to 25, node factors by formulae 73 to 79, 144, 206, 215, 227 and 235. V counts
tau from the moon's lower transit over Greenwich, not Schureman's hour angle from noon; the
constituents' offsets are made for that, so the two cannot be mixed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import ArrayLike

from routecheck.nav.angles import Floats
from routecheck.nav.tide_constituents import Constituent

DAY_S = 86_400.0
_CENTURY_S = 36_525.0 * DAY_S
_EPOCH_1900_S = -2_209_032_000.0
"""Greenwich mean noon of 31 December 1899, from which Schureman counts, as a Unix time."""

# Seconds of arc at that epoch, and per Julian century and its square.
_ROUND_ARCSEC = 360.0 * 3600.0
_MOON = (973_571.72, 1336.0 * _ROUND_ARCSEC + 1_108_406.05, 7.13)
_SUN = (1_006_908.04, 129_602_768.13, 1.09)
_PERIGEE = (1_203_586.42, 11.0 * _ROUND_ARCSEC + 392_522.51, -37.15)
_NODE = (933_059.79, -(5.0 * _ROUND_ARCSEC + 482_911.24), 7.48)
_PERIHELION = (1_012_395.0, 6_189.03, 1.63)

_OBLIQUITY_RAD = float(np.radians(23.452))
_INCLINATION_RAD = float(np.radians(5.145))


@dataclass(frozen=True, kw_only=True)
class Harmonic:
    """A constituent with its constants: amplitude H, and phase lag g on Greenwich."""

    constituent: Constituent
    amplitude_m: float
    phase_deg: float


def local_to_greenwich_phase_deg(
    phase_deg: float, constituent: Constituent, lon_deg: float
) -> float:
    """The lag g on Greenwich from the local lag kappa at a longitude (east positive).

    Schureman, paragraph 226: g = kappa + p L, with p the species and L the west longitude.
    """
    return (phase_deg - constituent.species * lon_deg) % 360.0


def _longitude_deg(arcsec: tuple[float, float, float], century: Floats) -> Floats:
    return np.asarray((arcsec[0] + (arcsec[1] + arcsec[2] * century) * century) / 3600.0 % 360.0)


def arguments_deg(constituents: Sequence[Constituent], time_s: ArrayLike) -> Floats:
    """V of each constituent at each Unix time. Times of shape (n,) give (constituents, n)."""
    time = np.asarray(time_s, dtype=float)
    century = (time - _EPOCH_1900_S) / _CENTURY_S
    s, h, p, p1 = (_longitude_deg(one, century) for one in (_MOON, _SUN, _PERIGEE, _PERIHELION))
    tau = time % DAY_S / DAY_S * 360.0 + h - s
    turns = np.array([c.turns for c in constituents], dtype=float).reshape(-1, 5)
    offset = np.array([c.offset_deg for c in constituents], dtype=float)
    return np.asarray(turns @ np.stack([tau, s, h, p, p1]) + offset[:, None])


def node_corrections(
    constituents: Sequence[Constituent], time_s: ArrayLike
) -> tuple[Floats, Floats]:
    """(f, u in degrees) of each constituent at each Unix time, shapes (constituents, n)."""
    factors, angles = _nodes(np.asarray(time_s, dtype=float))
    count = len(next(iter(factors.values())))
    f = np.ones((len(constituents), count))
    u = np.zeros((len(constituents), count))
    for row, one in enumerate(constituents):
        for name, power in one.factors.items():
            f[row] *= factors[name] ** power
        for name, times in one.angles.items():
            u[row] += angles[name] * times
    return f, np.degrees(u)


def _nodes(time_s: Floats) -> tuple[dict[str, Floats], dict[str, Floats]]:
    """Node factors, and node angles in radians, under the names used by the constituents."""
    century = (time_s - _EPOCH_1900_S) / _CENTURY_S
    p = np.radians(_longitude_deg(_PERIGEE, century))
    # The half-angle formulae want the node between -180 and 180 degrees.
    node = np.radians((_longitude_deg(_NODE, century) + 180.0) % 360.0 - 180.0)
    w, i = _OBLIQUITY_RAD, _INCLINATION_RAD
    inc = np.arccos(np.cos(i) * np.cos(w) - np.sin(i) * np.sin(w) * np.cos(node))
    half = np.tan(node / 2.0)
    one = np.arctan(np.cos((w - i) / 2.0) / np.cos((w + i) / 2.0) * half)
    other = np.arctan(np.sin((w - i) / 2.0) / np.sin((w + i) / 2.0) * half)
    xi, nu = node - one - other, one - other
    sin2, sin_sq = np.sin(2.0 * inc), np.sin(inc) ** 2
    perigee = p - xi  # Schureman's P
    tan_sq = np.tan(inc / 2.0) ** 2
    flat = np.cos(inc) / np.cos(inc / 2.0) ** 2
    o1 = np.sin(inc) * np.cos(inc / 2.0) ** 2 / 0.3800
    m2 = np.cos(inc / 2.0) ** 4 / 0.9154
    factors = {
        "Mm": (2.0 / 3.0 - sin_sq) / 0.5021,
        "Mf": sin_sq / 0.1578,
        "O1": o1,
        "J1": sin2 / 0.7214,
        "OO1": np.sin(inc) * np.sin(inc / 2.0) ** 2 / 0.0164,
        "M2": m2,
        "K1": np.sqrt(0.8965 * sin2**2 + 0.6001 * sin2 * np.cos(nu) + 0.1006),
        "K2": np.sqrt(19.0444 * sin_sq**2 + 2.7702 * sin_sq * np.cos(2.0 * nu) + 0.0981),
        "M1": o1 * np.sqrt(0.25 + 1.5 * flat * np.cos(2.0 * perigee) + 2.25 * flat**2),
        "L2": m2 * np.sqrt(1.0 - 12.0 * tan_sq * np.cos(2.0 * perigee) + 36.0 * tan_sq**2),
    }
    angles = {
        "xi": xi,
        "nu": nu,
        "nu1": np.arctan2(sin2 * np.sin(nu), sin2 * np.cos(nu) + 0.3347),
        "nu2": np.arctan2(sin_sq * np.sin(2.0 * nu), sin_sq * np.cos(2.0 * nu) + 0.0727),
        "p_xi": perigee,
        "q": np.arctan2(
            (5.0 * np.cos(inc) - 1.0) * np.sin(perigee), (7.0 * np.cos(inc) + 1.0) * np.cos(perigee)
        ),
        "r": np.arctan2(np.sin(2.0 * perigee), 1.0 / (6.0 * tan_sq) - np.cos(2.0 * perigee)),
    }
    return factors, angles


def mid_year_s(time_s: float) -> float:
    """The middle (noon of 2 July, UTC) of the year of a Unix time.

    NOAA takes its node corrections once a year, for the middle of the year.
    """
    year = datetime.fromtimestamp(time_s, UTC).year
    return datetime(year, 7, 2, 12, tzinfo=UTC).timestamp()


def heights_m(
    harmonics: Sequence[Harmonic], time_s: ArrayLike, *, mid_year: bool = False
) -> Floats:
    """Heights above mean level at Unix times, shape (n,).

    Node corrections are those of the middle of each UTC day (they change by less than a
    ten-thousandth in a day), or with `mid_year` those of the middle of the calendar year.
    """
    time = np.atleast_1d(np.asarray(time_s, dtype=float))
    made = np.zeros(time.shape)
    day_of = np.floor(time / DAY_S)
    days = np.unique(day_of).astype(int).tolist()
    for day, wave in zip(days, day_waves(harmonics, days, mid_year=mid_year), strict=True):
        made[day_of == day] = wave.heights_m(time[day_of == day])
    return made


@dataclass(frozen=True, kw_only=True, eq=False)
class DayWave:
    """The sum of cosines that holds for one UTC day; arrays of shape (constituents,)."""

    start_s: float
    amplitude_m: Floats
    phase_rad: Floats
    """V + u - g at the start of the day."""
    rate_rad: Floats
    """Per second."""

    def heights_m(self, time_s: Floats) -> Floats:
        """Heights above mean level, shape (n,), at Unix times of this day (or close to it)."""
        angle = self.phase_rad[:, None] + self.rate_rad[:, None] * (time_s - self.start_s)
        return np.asarray(self.amplitude_m @ np.cos(angle))

    def bend_m(self, step_s: float) -> float:
        """How far the curve can leave the straight line between two heights `step_s` apart."""
        curvature = float(np.sum(np.abs(self.amplitude_m) * self.rate_rad**2))
        return curvature * step_s**2 / 8.0


def day_waves(
    harmonics: Sequence[Harmonic], days: Sequence[int], *, mid_year: bool = False
) -> list[DayWave]:
    """The waves of whole days, numbered from 1970-01-01; see `heights_m` for `mid_year`."""
    start_s = np.array(days, dtype=float) * DAY_S
    parts = [one.constituent for one in harmonics]
    noon_s = start_s + DAY_S / 2.0
    f, u = node_corrections(parts, [mid_year_s(t) for t in noon_s] if mid_year else noon_s)
    # A second short of the day's end, where tau has not yet started again.
    span_s = DAY_S - 1.0
    first, last = arguments_deg(parts, start_s), arguments_deg(parts, start_s + span_s)
    # Mean longitudes are kept below 360 degrees: the whole turns come from the tabulated speed.
    speed = np.array([one.speed_deg_per_h for one in parts])[:, None] / 3600.0
    turns = np.round((speed * span_s - (last - first)) / 360.0) * 360.0
    rate = np.radians((last - first + turns) / span_s)
    lag = np.array([one.phase_deg for one in harmonics])[:, None]
    amplitude = f * np.array([one.amplitude_m for one in harmonics])[:, None]
    phase = np.radians((first + u - lag) % 360.0)
    return [
        DayWave(
            start_s=float(start),
            amplitude_m=np.ascontiguousarray(amplitude[:, i]),
            phase_rad=np.ascontiguousarray(phase[:, i]),
            rate_rad=np.ascontiguousarray(rate[:, i]),
        )
        for i, start in enumerate(start_s)
    ]


def lowest_and_highest_m(
    harmonics: Sequence[Harmonic], first_day: int, count: int, *, mid_year: bool = False
) -> tuple[float, float]:
    """Bounds of the heights above mean level over `count` whole days, never too narrow.

    Heights every half-hour, and beyond them as far as the curve can bend between: on a range of
    4 m that is about 3 cm too wide.
    """
    step_s = 1800.0
    lowest, highest = np.inf, -np.inf
    for at in range(0, count, 400):
        days = range(first_day + at, first_day + min(at + 400, count))
        waves = day_waves(harmonics, days, mid_year=mid_year)
        amplitude = np.stack([w.amplitude_m for w in waves], axis=1)
        phase = np.stack([w.phase_rad for w in waves], axis=1)
        rate = np.stack([w.rate_rad for w in waves], axis=1)
        bend_m = max(w.bend_m(step_s) for w in waves)
        for half_hour in range(49):
            height = np.sum(amplitude * np.cos(phase + rate * (half_hour * step_s)), axis=0)
            lowest = min(lowest, float(height.min()) - bend_m)
            highest = max(highest, float(height.max()) + bend_m)
    return lowest, highest
