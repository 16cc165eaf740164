"""Heights of tide minute by minute, in a few lines of its own.

Harmonic constants: h(t) = Z0 + sum of f H cos(V + u - g), with the mean longitudes and the node
corrections of D. T. Pugh, Tides, Surges and Mean Sea-Level (1987), table 4.3 and section 4:2
(within a few parts in a thousand of an amplitude, which `rounding_m` allows for). Tables:
half a cosine between high and low water. Series: straight lines between samples.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

from tests.oracle.plane import GEOD, Floats, inside

_EPOCH_S = 946_684_800.0  # 2000-01-01 00:00 UTC
LOW_DATUMS = {"LAT", "MLLW", "MLWS", "chart datum"}
"""Depths on these may clear a boat; MSL (without an offset) and unknown may not."""


def every_station(tide: dict[str, Any] | None) -> list[dict[str, Any] | None]:
    """All stations of a tide, each as a tide of its own."""
    if tide is None:
        return [None]
    return [tide, *({**tide, **other} for other in tide.get("others", ()))]


def stations_at(tide: dict[str, Any] | None, place: Any) -> list[dict[str, Any] | None]:
    """The station that counts at a place: that in whose zone it lies, else the nearest. Several
    where a hand's breadth decides."""
    every = every_station(tide)
    if len(every) < 2:
        return every
    lon, lat = float(place[0]), float(place[1])
    nearly = np.array([(lon, lat), *((lon + d, lat) for d in (-4e-6, 4e-6))])
    nearly = np.vstack([nearly, [(lon, lat + d) for d in (-4e-6, 4e-6)]])
    held = [s for s in every if s is not None and s["zone"] is not None and _in(s, nearly).any()]
    sure = [s for s in held if _in(s, nearly).all()]
    if sure:
        return [*held]
    away = [GEOD.inv(lon, lat, *s["at"])[2] for s in every if s is not None]
    return [*held, *(s for s, a in zip(every, away, strict=True) if a <= min(away) + 5.0)]


def in_no_zone(tide: dict[str, Any] | None, place: Any) -> bool:
    """Whether every station has a zone, and a place surely lies in none of them."""
    every = [s for s in every_station(tide) if s is not None]
    if not every or any(s.get("zone") is None for s in every):
        return False
    lon, lat = float(place[0]), float(place[1])
    nearly = [(lon + east, lat + north) for east in (-4e-6, 4e-6) for north in (-4e-6, 4e-6)]
    return not any(_in(s, np.array(nearly)).any() for s in every)


def _in(station: dict[str, Any], places: Floats) -> Any:
    ring = np.array([*station["zone"], station["zone"][0]])
    turn = 360.0 * np.round((ring[0, 0] - places[:, 0]) / 360.0)
    return inside(np.column_stack([places[:, 0] + turn, places[:, 1]]), ring)


def rounding_m(tide: dict[str, Any] | None) -> float:
    """How far this sum may be off by itself."""
    if tide is None or tide["kind"] == "constant":
        return 1e-6
    if tide["kind"] == "harmonic":
        return 0.002 + 0.005 * sum(h for _, h, _ in tide["constants"])
    return 0.002


def height_m(tide: dict[str, Any], time_s: Floats) -> Floats:
    """Heights above the tide's datum at Unix times; NaN where the data has none."""
    kind = tide["kind"]
    if kind == "constant":
        return np.full(np.shape(time_s), tide["height_m"])
    if kind == "harmonic":
        return tide["mean_m"] + sum(_wave(n, h, g, time_s) for n, h, g in tide["constants"])
    when, heights = np.array(tide["time_s"]), np.array(tide["heights_m"])
    if kind == "series":
        found = np.interp(time_s, when, heights)
    else:
        at = np.clip(np.searchsorted(when, time_s, side="right") - 1, 0, len(when) - 2)
        part = (time_s - when[at]) / (when[at + 1] - when[at])
        low, high = heights[at], heights[at + 1]
        found = (low + high) / 2.0 + (low - high) / 2.0 * np.cos(np.pi * part)
    known = (time_s >= when[0]) & (time_s <= when[-1])
    return np.where(known, found, np.nan)


def _wave(name: str, height: float, lag_deg: float, time_s: Floats) -> Floats:
    century = (np.asarray(time_s) - _EPOCH_S - 43_200.0) / 86_400.0 / 36_525.0
    hour_deg = (np.asarray(time_s) % 86_400.0) / 240.0
    s = 218.3165 + 481_267.8813 * century
    h = 280.4661 + 36_000.7698 * century
    node = np.radians(125.0446 - 1_934.1363 * century)
    # Lower transits: M2 and O1 count from the moon, S2 and K1 from the sun.
    v, f, u = {
        "M2": (
            2.0 * (hour_deg + h - s),
            1.0 - 0.037 * np.cos(node),
            -2.1 * np.sin(node),
        ),
        "S2": (2.0 * hour_deg, 1.0, 0.0),
        "K1": (
            hour_deg + h + 90.0,
            1.006 + 0.115 * np.cos(node),
            -8.9 * np.sin(node) + 0.7 * np.sin(2.0 * node),
        ),
        "O1": (
            hour_deg + h - 2.0 * s - 90.0,
            1.009 + 0.187 * np.cos(node),
            10.8 * np.sin(node) - 1.3 * np.sin(2.0 * node),
        ),
    }[name]
    return np.asarray(f * height * np.cos(np.radians(v + u - lag_deg)))


def ever_m(tide: dict[str, Any]) -> tuple[float, float]:
    """(lowest, highest) that it surely reaches: for harmonic constants in a month of 2027."""
    if tide["kind"] == "constant":
        return tide["height_m"], tide["height_m"]
    if tide["kind"] == "harmonic":
        return _month_m(tide["mean_m"], tuple(map(tuple, tide["constants"])))
    return min(tide["heights_m"]), max(tide["heights_m"])


@cache
def _month_m(mean_m: float, constants: Any) -> tuple[float, float]:
    month = 1_798_761_600.0 + 600.0 * np.arange(144 * 30)
    heights = height_m({"kind": "harmonic", "mean_m": mean_m, "constants": constants}, month)
    return float(heights.min()), float(heights.max())


def level_m(tide: dict[str, Any], datum: str) -> float | None:
    """How high a datum stands above the tide's own; None where nobody says.

    A tide on "chart datum" holds above each chart's own low-water datum.
    """
    if datum == tide["datum"]:
        return 0.0
    if tide["datum"] == "chart datum" and datum in LOW_DATUMS:
        return 0.0
    found: float | None = tide["levels_m"].get(datum)
    return found


def not_placed(tide: dict[str, Any] | None, datum: str) -> float | None:
    """How far below its own 0 the water may stand on a low-water datum that nobody relates to the
    tide's; None where somebody does, or where it never stands below.

    A whole range of the tide; 10 m for a constant, or below each chart's own datum.
    """
    if tide is None or datum not in LOW_DATUMS - {"LAT"} or level_m(tide, datum) is not None:
        return None
    low, high = ever_m(tide)
    ranges = tide["kind"] != "constant" and datum != "chart datum"
    fall = high - low if ranges else 10.0
    return float(fall - min(0.0, low) + tide["surge_down_m"])


def lowest_m(
    tide: dict[str, Any] | None, datum: str, from_s: float | None, to_s: float | None
) -> tuple[float, bool]:
    """(the lowest height that counts for a depth on a datum, whether it is known).

    Without a tide: 0 at chart datum. On another datum nothing is added, but a tide that falls
    below its own datum is still taken off. Without a clock the lowest at any time counts. Where
    the data holds no height for the time, its lowest counts, and no more than 0.
    """
    if tide is None:
        return 0.0, True
    low, _ = ever_m(tide)
    bounded = tide["kind"] in ("table", "series")
    level = level_m(tide, datum)
    if level is None:
        return min(0.0, (min(0.0, low) if bounded else low) - tide["surge_down_m"]), True
    if tide["kind"] == "constant":
        return low - level - tide["surge_down_m"], True
    if from_s is None or to_s is None:
        found = min(0.0, low) if bounded else low
        return found - level - tide["surge_down_m"], True
    heights = height_m(tide, minutes(from_s, to_s))
    if np.isnan(heights).any():
        return min(0.0, low) - level - tide["surge_down_m"], False
    return float(heights.min()) - level - tide["surge_down_m"], True


def highest_m(
    tide: dict[str, Any] | None, datum: str, from_s: float | None, to_s: float | None
) -> tuple[float, bool, bool]:
    """(the highest water above a datum, whether it is known, whether the water may stand higher).

    Without a tide, or above a datum that the tide is not related to, it is taken to stand at the
    datum, and may stand higher unless that is the highest tide of all.
    """
    if tide is None:
        return 0.0, True, datum != "HAT"
    level = level_m(tide, datum)
    if level is None:
        return tide["surge_up_m"], True, datum != "HAT"
    _, high = ever_m(tide)
    bounded = tide["kind"] in ("table", "series")
    if tide["kind"] == "constant":
        return high - level + tide["surge_up_m"], True, False
    if from_s is None or to_s is None:
        return high - level + tide["surge_up_m"], True, bounded
    heights = height_m(tide, minutes(from_s, to_s))
    if np.isnan(heights).any():
        return high - level + tide["surge_up_m"], False, bounded
    return float(heights.max()) - level + tide["surge_up_m"], True, False


def minutes(from_s: float, to_s: float) -> Floats:
    """Every minute of a span of time, both ends included."""
    return np.concatenate([np.arange(from_s, to_s, 60.0), [to_s]])
