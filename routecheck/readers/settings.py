"""The boat that the skipper brings, from boat.toml; the tide's reader is told of here too."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from routecheck.model.boat import Boat, Margins
from routecheck.readers.hull import read_heel_swell_m, read_squat_m, read_squat_rule
from routecheck.readers.strict import cleaned, shown
from routecheck.readers.tides import read_tide as read_tide
from routecheck.readers.tomlfile import Table, read_toml
from routecheck.readers.waypoints import WIDEST_M
from routecheck.units import length_m, percent_of

_BOAT_KEYS = ("name", "draught", "air_draught", "length", "beam", "speed", "margins")
_MARGIN_KEYS = (
    "under_keel",
    "cross_track",
    "overhead",
    "eta",
    "position",
    "squat",
    "heel_swell",
    "mark_near",
    "mark_far",
    "coarsest_grid",
    "smallest_scale",
    "oldest_survey",
)
_MOST_M = 1_000.0  # no boat, and no margin of depth or height, is larger
_MOST_GRID_M = 100_000.0
_MOST_ETA_S = 30 * 86_400.0


def read_boat(path: Path) -> Boat:
    """A boat and its margins from a TOML file; margins that are not given keep their defaults.

    Raises BadInput, naming the key, for a missing draught, a key that is not known, a number
    without a unit, or one that no boat has.
    """
    top = read_toml(path)
    top.refuse_unknown(_BOAT_KEYS)
    draught_m = top.length_m("draught", most_m=_MOST_M, above_zero=True)
    if draught_m is None:
        raise top.bad("the boat has no draught", do='add draught = "1.9 m"')
    beam_m = top.length_m("beam", most_m=_MOST_M, above_zero=True)
    speed_kn = top.speed_kn("speed")
    below = top.table("margins")
    margins, squat_rule = Margins(), None
    if below is not None:
        squat_rule = read_squat_rule(below, speed_kn=speed_kn)
        margins = _margins(
            below,
            draught_m=draught_m,
            squat_m=read_squat_m(below, squat_rule, speed_kn=speed_kn),
            heel_swell_m=read_heel_swell_m(below, draught_m=draught_m, beam_m=beam_m),
        )
    return Boat(
        name=top.text("name") or cleaned(path.stem) or "boat",
        draught_m=draught_m,
        air_draught_m=top.length_m("air_draught", most_m=_MOST_M, above_zero=True),
        length_m=top.length_m("length", most_m=_MOST_M, above_zero=True),
        beam_m=beam_m,
        speed_kn=speed_kn,
        margins=margins,
        squat_rule=squat_rule,
    )


def _margins(
    table: Table, *, draught_m: float, squat_m: float | None, heel_swell_m: float | None
) -> Margins:
    table.refuse_unknown(_MARGIN_KEYS)
    scale = table.number("smallest_scale")
    if scale is not None and not 1.0 <= scale <= 1e9:
        raise table.bad(
            f"{scale:g} is no scale's denominator", key="smallest_scale", do="write 180000"
        )
    year = table.number("oldest_survey")
    if year is not None and not (year.is_integer() and 0.0 <= year <= 9999.0):
        raise table.bad(f"{year:g} is no year", key="oldest_survey", do="write 1970")
    given = {
        "under_keel_m": table.read("under_keel", lambda value: _under_keel_m(value, draught_m)),
        "cross_track_m": table.length_m("cross_track", most_m=WIDEST_M),
        "overhead_m": table.length_m("overhead", most_m=_MOST_M),
        "eta_s": table.duration_s("eta", most_s=_MOST_ETA_S),
        "position_m": table.length_m("position", most_m=WIDEST_M),
        "squat_m": squat_m,
        "heel_swell_m": heel_swell_m,
        "mark_near_m": table.length_m("mark_near", most_m=WIDEST_M),
        "mark_far_m": table.length_m("mark_far", most_m=WIDEST_M),
        "coarsest_grid_m": table.length_m("coarsest_grid", most_m=_MOST_GRID_M),
        "smallest_scale": scale,
        "oldest_survey_year": year,
    }
    margins = Margins(**{name: value for name, value in given.items() if value is not None})
    if margins.mark_far_m < margins.mark_near_m:
        raise table.bad("it is less than mark_near", key="mark_far")
    return margins


def _under_keel_m(value: Any, draught_m: float) -> float:
    """One wish, or the largest of a list of them."""
    wishes = value if isinstance(value, list) else [value]
    if not 1 <= len(wishes) <= 10:
        raise ValueError("give one value, or a list of a few")
    found = []
    for wish in wishes:
        share = percent_of(wish) if isinstance(wish, str) else None
        if share is None:
            wanted_m = length_m(wish)
        elif re.search(r"%(\s+of\s+(the\s+)?dra(ught|ft))?\s*$", str(wish)):
            wanted_m = share * draught_m
        else:
            raise ValueError(f'{shown(wish)} is not a share of the draught, like "20 % of draught"')
        if not 0.0 <= wanted_m <= _MOST_M:
            raise ValueError(f"{shown(wish)} is not from zero to {_MOST_M:g} m")
        found.append(wanted_m)
    return max(found)
