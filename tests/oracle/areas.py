"""Areas and lines of rules and warnings: what must at least be said of each, by its codes.

Codes are those of IHO S-57 edition 3.1: RESTRN, CATREA, CATFRY, CATPIP, STATUS, ORIENT, PERSTA and
the like. Rules of traffic separation schemes: COLREG rule 10. Limits of angles: the checks' own.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

import numpy as np

from tests.oracle.corridor import Corridor, Leg
from tests.oracle.plane import GEOD, Floats, Sheet, around, crossings, from_chain, inside, shared
from tests.oracle.sources import Sources
from tests.oracle.sums import CAUTION, DANGER, NOT_ASSESSED, NOTHING, own_belt_m

_SURE_M = 0.3
_SURE_DEG = 0.5
_NOT_FOR_PASSING = {1, 2, 3, 4, 5, 6, 9, 10, 11, 12, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 26, 39}
_HOW_TO_PASS = {13, 25, 27}
"""RESTRN: anchor, fish, dive, build, dump … not; no wake, no stopping, a limit of speed."""
_GOES_ON = {1, 9, 12, 18, 19, 21, 25, 27, 28, 29, 30, 31, 32}
"""CATREA that tell of something beside the restrictions; not reserves and the like."""
_SPECIAL = {
    *("caution area", "military practice area", "offshore production area"),
    *("production or storage area", "seaplane landing area", "submarine transit lane"),
    *("anchorage area", "anchor berth", "marine farm", "cargo transhipment area"),
    "incineration area",
}
_MEETING = {"crossing of traffic lanes", "traffic roundabout", "precautionary area"}
_MOVES_OR_HAMPERS = {"dumping ground", "sand waves", "ice area", "troubled water", "weed or kelp"}
_ONE_WAY = {
    *("deep-water route", "two-way route", "fairway"),
    *("recommended direction of traffic flow", "recommended track"),
}


@dataclass(frozen=True)
class How:
    """How one leg meets an area or line."""

    belt: bool = False
    """It lies outside the corridor, but its position is known no better."""
    inside_deg: tuple[float, ...] = ()
    """Courses of the track surely in it, or across the line."""
    inside_m: float = 0.0
    whole: bool = False
    """The whole leg lies surely in it."""
    leg_deg: tuple[float, ...] = ()
    """All courses of the leg."""
    axes_deg: tuple[float, ...] = ()
    """Directions of the lanes that the same leg surely meets."""
    apart_m: float = 0.0
    """From the track."""
    reach_m: float = 0.0
    """How far off it may lie."""


def off_deg(course: float, flow: float) -> float:
    return abs((course - flow + 180.0) % 360.0 - 180.0)


def must_say(one: dict[str, Any], how: How, clock: dict[str, Any], skipper: Any) -> tuple[int, str]:
    """(the gravest that must be said, why) of an area that counts as in force."""
    found = [
        (rank, why)
        for rank, why in (
            _entry(one),
            _special(one),
            _traffic(one, how),
            _built(one, how, skipper),
            _other(one, clock),
        )
        if rank
    ]
    rank, why = max(found, default=(NOTHING, ""))
    if how.belt and rank != NOTHING:
        return CAUTION, f"{why}, within its position uncertainty"
    return rank, why


def _entry(one: dict[str, Any]) -> tuple[int, str]:
    codes = set(one["restrictions"])
    restricted = one["kind"] == "restricted area"
    if 7 in codes:
        return DANGER, "entry prohibited"
    if restricted and 14 in one["categories"]:
        return DANGER, "minefield"
    if restricted and 1 in one["categories"] and not codes:
        return DANGER, "safety zone"
    if 14 in codes and 9 in one["status"]:
        return DANGER, "to be avoided, mandatory"
    if codes - _NOT_FOR_PASSING - _HOW_TO_PASS:
        return CAUTION, "to be avoided, entry restricted, or a restriction that nobody knows"
    return NOTHING, ""


def _special(one: dict[str, Any]) -> tuple[int, str]:
    if one["kind"] in _SPECIAL:
        return CAUTION, "special conditions"
    if one["kind"] == "restricted area" and (
        not one["restrictions"] or set(one["categories"]) & _GOES_ON
    ):
        return CAUTION, "special conditions in a restricted area"
    return NOTHING, ""


def _traffic(one: dict[str, Any], how: How) -> tuple[int, str]:
    kind, flow = one["kind"], one["orientation_deg"]
    if kind == "traffic lane":
        if flow is None:
            return NOT_ASSESSED, "a lane without a direction"
        if how.inside_deg:
            rank, off = max((_lane(off_deg(c, flow)), off_deg(c, flow)) for c in how.inside_deg)
            return rank, f"the track in a lane, {off:.1f} degrees off its direction"
        rank = min(_lane(off_deg(c, flow)) for c in how.leg_deg)
        return min(rank, CAUTION), "beside the track a lane that goes otherwise"
    if kind == "traffic separation zone":
        along = how.inside_m >= 2.0 and any(
            min(off_deg(c, a), 180.0 - off_deg(c, a)) < 45.0 - _SURE_DEG
            for c in how.inside_deg
            for a in how.axes_deg
        )
        return (DANGER if along or how.whole else CAUTION), "a separation zone"
    if kind == "traffic separation line":
        return CAUTION, "a separation line"
    if kind in _ONE_WAY and one["one_way"]:
        if flow is None:
            return CAUTION, "one way, and nobody knows which"
        if all(off_deg(c, flow) > 135.0 + _SURE_DEG for c in how.leg_deg):
            return CAUTION, "against the one way"
    return NOTHING, ""


def _lane(off: float) -> int:
    if off > 110.0 + _SURE_DEG:
        return DANGER
    return CAUTION if 45.0 + _SURE_DEG < off < 70.0 - _SURE_DEG else NOTHING


def _built(one: dict[str, Any], how: How, skipper: dict[str, Any]) -> tuple[int, str]:
    kind, beam = one["kind"], skipper["beam_m"]
    if kind not in ("gate", "lock basin"):
        return NOTHING, ""
    if one["width_m"] is not None and beam is not None and one["width_m"] <= beam:
        return DANGER, "narrower than the boat"
    if kind == "gate":
        room = max(how.reach_m, skipper["position_m"]) if one["shape"] == "point" else 0.0
        if how.apart_m > room + _SURE_M:
            return DANGER, "a gate that the track does not go through"
    return CAUTION, "a lock or gate may be shut"


def _other(one: dict[str, Any], clock: dict[str, Any]) -> tuple[int, str]:
    kind = one["kind"]
    if kind == "unknown":
        return NOT_ASSESSED, "a class that nobody judges"
    if kind in _MEETING or kind in _MOVES_OR_HAMPERS:
        return CAUTION, "as its kind says"
    if kind == "inshore traffic zone" and (clock["length_m"] is None or clock["length_m"] >= 20.0):
        return CAUTION, "an inshore zone, and no small boat"
    if kind == "ferry route" and one["categories"] != (1,):
        return CAUTION, "a ferry that may run on a cable"
    if kind == "submarine pipeline" and set(one["categories"]) & {2, 3}:
        return CAUTION, "an outfall or intake"
    return NOTHING, ""


def in_force(period: tuple[str, str, str], window: tuple[float, float] | None, more_h: int) -> bool:
    """Whether a period holds on any day of a span of time (Unix seconds, `more_h` hours wider),
    or cannot be read, or no time is known."""
    sort, start, end = period
    if not sort or window is None:
        return True
    texts = [_digits(t) for t in (start, end) if t]
    if None in texts or (sort == "season" and len(texts) < 2):
        return True
    first, last = window[0] - 3600.0 * more_h, window[1] + 3600.0 * more_h
    days = np.append(np.arange(first, last, 43_200.0), last)
    return any(_on(sort, start, end, datetime.fromtimestamp(s, UTC).date()) for s in days)


def _digits(text: str) -> str | None:
    """The digits of a date: YYYY, YYYYMM, YYYYMMDD, or of the year MM or MMDD; None for words."""
    found = text.removeprefix("--")
    return found if found.isdigit() and len(found) in (2, 4, 6, 8) else None


def _on(sort: str, start: str, end: str, day: date) -> bool:
    whole = day.strftime("%Y%m%d")
    low, high = _digits(start) or "", _digits(end) or ""
    if sort == "season":
        whole = day.strftime("%m%d")
    late, early = whole[: len(low)] >= low, not high or whole[: len(high)] <= high
    if sort == "season" and low > high:  # over the turn of the year
        return late or early
    return late and early


class Regulated:
    """The areas and lines of all charts, met leg by leg."""

    def __init__(self, world: dict[str, Any], corridor: Corridor, sources: Sources) -> None:
        self.world, self.corridor, self.sources = world, corridor, sources
        self.flat: dict[str, Floats] = {}
        self.met: list[dict[str, Any]] = []
        for chart in world["charts"]:
            for one in chart["regulated"]:
                self.flat[one["key"]] = _flat(corridor.sheet, one)
        lanes = [
            (chart, one)
            for chart in world["charts"]
            for one in chart["regulated"]
            if one["kind"] == "traffic lane" and one["orientation_deg"] is not None
        ]
        axes = {
            n: tuple(lane["orientation_deg"] for chart, lane in lanes if self._own(chart, lane, n))
            for n in range(len(corridor.legs))
        }
        for chart in world["charts"]:
            for one in chart["regulated"]:
                self._meet(chart, one, axes)

    def _shown(self, chart: dict[str, Any], one: dict[str, Any], ring: Floats) -> Floats:
        places = shared(self.flat[one["key"]], one["shape"], ring)
        return self.sources.free(chart, places)

    def _own(self, chart: dict[str, Any], one: dict[str, Any], leg: int) -> bool:
        mine = [p for p in self.corridor.parts if p.legs == {leg}]
        return any(len(self._shown(chart, one, part.ring)) for part in mine)

    def _meet(self, chart: dict[str, Any], one: dict[str, Any], axes: Any) -> None:
        shape = self.flat[one["key"]]
        reach = one["accuracy_m"] if one["accuracy_m"] is not None else own_belt_m(chart)
        for part in self.corridor.parts:
            places, belt = self._shown(chart, one, part.ring), False
            if not len(places):
                near, _ = around(shape, one["shape"], part.ring, reach - 0.1)
                places, belt = self.sources.free(chart, near), True
                if not len(places) or len(part.legs) > 1:
                    continue
            hows = {}
            for n in part.legs:
                how = self._how(chart, one, self.corridor.legs[n])
                hows[n] = How(**{**how, "belt": belt, "axes_deg": axes[n], "reach_m": reach})
            along = {n: self.corridor.legs[n].along(places) for n in part.legs}
            self.met.append({"one": one, "legs": part.legs, "hows": hows, "along_m": along})

    def _how(self, chart: dict[str, Any], one: dict[str, Any], leg: Leg) -> dict[str, Any]:
        shape = self.flat[one["key"]]
        courses = courses_deg(leg)
        track, piece, step_m = dense(leg)
        free = ~self.sources.perhaps_hidden(chart, track)
        held = np.zeros(len(track), dtype=bool)
        crossed: list[float] = []
        if one["shape"] == "ring":
            held = inside(track, shape) & (from_chain(track, shape) > _SURE_M) & free
        elif one["shape"] == "line":
            for n in range(len(leg.track) - 1):
                cut = crossings(leg.track[n : n + 2], shape)
                if len(cut) and not self.sources.perhaps_hidden(chart, cut).all():
                    crossed.append(courses[n])
        return {
            "inside_deg": (*sorted({courses[n] for n in piece[held]}), *crossed),
            "inside_m": float(held.sum() - 1) * step_m,
            "whole": bool(held.all()),
            "leg_deg": tuple(courses),
            "apart_m": float(_from_track(shape, one["shape"], leg)),
        }


def courses_deg(leg: Leg) -> list[float]:
    """The true course of each piece of a leg, at the piece's middle."""
    ahead, back, _ = GEOD.inv(*leg.places[:-1].T, *leg.places[1:].T)
    turn = (np.asarray(back) + 180.0 - np.asarray(ahead) + 180.0) % 360.0 - 180.0
    return [float(c) for c in (np.asarray(ahead) + turn / 2.0) % 360.0]


def dense(leg: Leg) -> tuple[Floats, Any, float]:
    """(points along the track, the piece of each, the step between them)."""
    each = max(4, int(np.ceil(60.0 / (len(leg.track) - 1))))
    share = np.arange(each + 1) / each
    points = leg.track[:-1, None] + share[None, :, None] * np.diff(leg.track, axis=0)[:, None]
    pieces = np.repeat(np.arange(len(leg.track) - 1), each + 1)
    return points.reshape(-1, 2), pieces, leg.length_m / len(pieces)


def _from_track(shape: Floats, kind: str, leg: Leg) -> float:
    if kind != "point" and len(crossings(shape, leg.track)):
        return 0.0
    if kind == "ring" and inside(leg.track, shape).any():
        return 0.0
    return min(float(from_chain(shape, leg.track).min()), _back(shape, kind, leg))


def _back(shape: Floats, kind: str, leg: Leg) -> float:
    return float(from_chain(leg.track, shape).min()) if kind != "point" else np.inf


def _flat(sheet: Sheet, one: dict[str, Any]) -> Floats:
    if one["shape"] == "point":
        return sheet.xy(one["at"])
    return sheet.shape(one["at"], ring=one["shape"] == "ring")


def area_claims(
    regulated: Regulated, clock: dict[str, Any], window: Any
) -> list[tuple[frozenset[int], int, str, str]]:
    """What must be said for one boat and clock: (legs, rank, key, why). `window` gives the span
    of time for a leg and a distance along."""
    made = []
    for met in regulated.met:
        one, said = met["one"], []
        for n, how in met["hows"].items():
            times = [window(clock, n, float(a)) for a in met["along_m"][n]]
            if any(in_force(one["period"], span, 0) for span in times):
                said.append(must_say(one, how, clock, regulated.world["margins"]))
            else:
                said.append((NOTHING, ""))
        rank, why = min(said)
        if rank:
            made.append((met["legs"], rank, one["key"], f"{one['kind']}: {why}"))
    return made
