"""Marks: the nearest places of the track, the side by vectors on the sphere, what IALA asks.

Rules: IALA Recommendation R1001. Going with the direction of buoyage a port-hand mark is left to
port, a starboard-hand mark to starboard; region A: port red, starboard green; region B the other
way round. A cardinal mark is passed on its named side. The wrong side within `mark_near` (or the
corridor) is a danger where the direction is stated; a mark nearer than its position uncertainty
has no certain side; one in the corridor is at least a caution.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from tests.oracle.corridor import Corridor
from tests.oracle.plane import GEOD, Floats, inside
from tests.oracle.sums import CAUTION, DANGER, NOT_ASSESSED

_CARDINAL_DEG = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}
_HAND = {"port-hand": "port", "starboard-hand": "starboard"}
_COLOUR = {
    ("A", "red"): "port-hand",
    ("A", "green"): "starboard-hand",
    ("B", "green"): "port-hand",
    ("B", "red"): "starboard-hand",
}
_RGR, _GRG = ["red", "green", "red"], ["green", "red", "green"]
_BANDS = {
    "A": {"preferred-channel-to-starboard": _RGR, "preferred-channel-to-port": _GRG},
    "B": {"preferred-channel-to-starboard": _GRG, "preferred-channel-to-port": _RGR},
}
_LATERAL = {"lateral", "port-hand", "starboard-hand"}
_SURE_M = 0.3

Found = tuple[frozenset[int], int, str, str]


class Pass:
    """One local minimum of the distance from a leg's track to a mark."""

    def __init__(self, leg: int, place: Floats, before: Floats, after: Floats, mark: Any) -> None:
        self.leg, self.along_m = leg, 0.0
        lon, lat = mark
        self.distance_m = GEOD.inv(place[0], place[1], lon, lat)[2]
        self.course_deg = GEOD.inv(*before, *after)[0] % 360.0
        self.bearing_deg = GEOD.inv(lon, lat, place[0], place[1])[0] % 360.0
        # East of the track's plane through the earth's middle is to starboard.
        normal = np.cross(_vector(before), _vector(after))
        self.side = "port" if float(normal @ _vector(mark)) > 0.0 else "starboard"


def _vector(place: Any) -> Floats:
    """The unit vector of a place, by its geocentric latitude."""
    lon, lat = np.radians(float(place[0])), np.radians(float(place[1]))
    lat = np.arctan(np.tan(lat) * (1.0 - 0.00669437999014))
    return np.array([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)])


def kept_marks(world: dict[str, Any]) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """(mark, chart) of marks that surely count: no other of any sort within 60 m in another chart,
    and no cell of larger scale over the place."""
    every = [(m, c) for c in world["charts"] for m in c["marks"]]
    made = []
    for mark, chart in every:
        rivals = [
            m for m, c in every if c is not chart and GEOD.inv(*m["at"], *mark["at"])[2] < 60.0
        ]
        covered = chart["kind"] == "cell" and any(
            c["kind"] == "cell"
            and c["scale"] < chart["scale"]
            and _covers(c, np.array([mark["at"]]))
            for c in world["charts"]
        )
        if not rivals and not covered:
            made.append((mark, chart))
    return made


def _covers(cell: dict[str, Any], at: Floats) -> bool:
    """Whether a cell's coverage holds a place, or may by a hand's breadth."""
    rings = [np.array([*ring, ring[0]]) for ring in (h["ring"] for h in cell["holes"])]
    for ring in rings:
        near = [
            at + np.array(step) for step in ((0, 0), (2e-6, 0), (-2e-6, 0), (0, 2e-6), (0, -2e-6))
        ]
        if all(inside(n, ring)[0] for n in near):
            return False
    return bool(inside(at, np.array([*cell["coverage"], cell["coverage"][0]]))[0])


def passes(corridor: Corridor, mark: dict[str, Any]) -> list[Pass]:
    """Local minima that lie inside a leg: the foot of the mark on its track, from both sides."""
    spot = corridor.sheet.xy(mark["at"])[0]
    made = []
    for number, leg in enumerate(corridor.legs):
        for n in range(len(leg.track) - 1):
            a, b = leg.track[n], leg.track[n + 1]
            share = float((spot - a) @ (b - a) / ((b - a) @ (b - a)))
            along = leg.along_m[n] + share * (leg.along_m[n + 1] - leg.along_m[n])
            if 0.0 <= share <= 1.0 and 0.5 < along < leg.length_m - 0.5:
                foot = leg.places[n] * (1 - share) + leg.places[n + 1] * share
                one = Pass(number, foot, leg.places[n], leg.places[n + 1], mark["at"])
                one.along_m = along
                made.append(one)
    return made


def at_waypoints(corridor: Corridor, mark: dict[str, Any]) -> list[tuple[frozenset[int], Pass]]:
    """Marks outside a bend: nearer to the waypoint than to any other place of either leg. The
    side is sure where both legs agree on it; the course is half-way through the turn."""
    spot = corridor.sheet.xy(mark["at"])[0]
    made = []
    for n in range(len(corridor.legs) - 1):
        before, after = corridor.legs[n], corridor.legs[n + 1]
        ahead, on = before.track[-1] - before.track[-2], after.track[1] - after.track[0]
        off = spot - after.track[0]
        if off @ ahead <= 0.5 * np.hypot(*ahead) or off @ on >= -0.5 * np.hypot(*on):
            continue
        one = Pass(n, before.places[-1], before.places[-2], before.places[-1], mark["at"])
        other = Pass(n + 1, after.places[0], after.places[0], after.places[1], mark["at"])
        turn = (other.course_deg - one.course_deg + 180.0) % 360.0 - 180.0
        if one.side != other.side or abs(turn) > 120.0:
            continue
        one.along_m = before.length_m
        one.course_deg = (one.course_deg + turn / 2.0) % 360.0
        made.append((frozenset({n, n + 1}), one))
    return made


def told_apart(
    corridor: Corridor, mark: dict[str, Any], met: list[Pass], feet: list[Pass], off: float
) -> list[Pass]:
    """The passes that stand: not those from which the track comes nearer to the mark without
    first going further off than by the uncertainty of its position. Along a straight leg the
    distance only grows from the foot, so that waypoints and feet tell."""
    spot = corridor.sheet.xy(mark["at"])[0]
    stops: list[tuple[float, float]] = []
    start = 0.0
    for number, leg in enumerate(corridor.legs):
        stops.append((start, float(np.hypot(*(leg.track[0] - spot)))))
        stops += [(start + p.along_m, p.distance_m) for p in feet if p.leg == number]
        start += leg.length_m
        stops.append((start, float(np.hypot(*(leg.track[-1] - spot)))))
    stops.sort()
    kept = []
    for one in met:
        at = start_of(corridor, one.leg) + one.along_m
        ahead = [d for a, d in stops if a > at]
        astern = [d for a, d in reversed(stops) if a < at]
        if all(_stands(one.distance_m, way, off) for way in (ahead, astern)):
            kept.append(one)
    return kept


def start_of(corridor: Corridor, leg: int) -> float:
    return sum(one.length_m for one in corridor.legs[:leg])


def _stands(here_m: float, distances_m: list[float], off: float) -> bool:
    for distance_m in distances_m:
        if distance_m > here_m + off + _SURE_M:
            return True
        if distance_m < here_m + _SURE_M:
            return False
    return True


def uncertainty_m(mark: dict[str, Any], chart: dict[str, Any]) -> float:
    """Floating: 20 m, or 0.5 mm at the scale, or what is stated, the largest. Fixed: as stated,
    else 0.5 mm at the scale, else the source's."""
    scale = 0.0005 * chart["scale"] if chart["scale"] is not None else None
    if mark["floating"]:
        return max(20.0, scale or 0.0, mark["accuracy_m"] or 0.0)
    if mark["accuracy_m"] is not None:
        return float(mark["accuracy_m"])
    return scale if scale is not None else float((chart["quality"] or {}).get("horizontal_m") or 0)


def stated(world: dict[str, Any], place: Any) -> tuple[float | None, str, bool]:
    """(direction, region, whether that is sure) at a place: the user's zones before the largest
    scale's. Charts that differ make it unsure."""
    direction, region, sure = None, "", True
    held = [("user", z) for z in world["zones"]]
    cells = sorted((c for c in world["charts"] if c["buoyage"]), key=lambda c: c["scale"])
    held += [(c["id"], z) for c in cells for z in c["buoyage"]]
    directions, regions = [], []
    for who, zone in held:
        ring = np.array([*zone["ring"], zone["ring"][0]])
        at = np.array([place], dtype=float)
        at[0, 0] += 360.0 * round((ring[0, 0] - at[0, 0]) / 360.0)
        if inside(at, ring)[0]:
            if zone["direction_deg"] is not None:
                directions.append((who, zone["direction_deg"]))
            if zone["region"]:
                regions.append((who, zone["region"]))
        nearly = at + np.array([[1e-6, 0.0]]), at - np.array([[1e-6, 0.0]])
        sure &= all(inside(n, ring)[0] == inside(at, ring)[0] for n in nearly)
    if directions:
        direction = directions[0][1]
        sure &= len({d for _, d in directions}) == 1 or directions[0][0] == "user"
    if regions:
        region = regions[0][1]
        sure &= len({r for _, r in regions}) == 1
    return direction, region, sure


def contested(world: dict[str, Any], place: Any) -> tuple[set[float], set[str], bool]:
    """(directions, regions, whether that is sure) of the zones of one standing that count at a
    place, where they are more than one each: the user's, else those of the one cell of the largest
    scale that states any."""
    rows = [("user", 0.0, z) for z in world["zones"]]
    rows += [(c["id"], c["scale"], z) for c in world["charts"] for z in c["buoyage"]]
    here = []
    sure = True
    for who, scale, zone in rows:
        ring = np.array([*zone["ring"], zone["ring"][0]])
        at = np.array([place], dtype=float)
        at[0, 0] += 360.0 * round((ring[0, 0] - at[0, 0]) / 360.0)
        held = inside(at, ring)[0]
        nearly = at + np.array([[1e-6, 0.0]]), at - np.array([[1e-6, 0.0]])
        sure &= all(inside(n, ring)[0] == held for n in nearly)
        if held:
            here.append((scale, who, zone))
    found: list[set[Any]] = []
    for name, none in (("direction_deg", None), ("region", "")):
        stated_here = [(s, who, z[name]) for s, who, z in here if z[name] != none]
        first = min(stated_here, default=None, key=lambda row: row[0])
        most = [row for row in stated_here if first is not None and row[0] == first[0]]
        sure &= len({who for _, who, _ in most}) <= 1
        said = {value for *_, value in most}
        found.append(said if len(said) > 1 else set())
    return found[0], found[1], sure


def _ways(course_deg: float, directions: set[float]) -> set[str]:
    """How a course surely runs against each direction: "with", "against"."""
    turns = [abs((course_deg - one + 180.0) % 360.0 - 180.0) for one in directions]
    return {"with" if t < 68.0 else "against" for t in turns if not 68.0 <= t <= 112.0}


def _quarrels(world: dict[str, Any], mark: dict[str, Any], one: Pass) -> str:
    """Why zones of one standing leave nobody to tell the mark's side; "" where they do not."""
    directions, regions, sure = contested(world, mark["at"])
    if not sure:
        return ""
    if len(_ways(one.course_deg, directions)) > 1:
        return f"zones of one standing say {sorted(directions)}"
    settled = world["region"] or mark["region"]
    _, users, _ = contested({**world, "charts": []}, mark["at"])
    if len(regions) > 1 and mark["colours"] and (users or not settled):
        return "zones of one standing say A and B"
    return ""


def hand(world: dict[str, Any], mark: dict[str, Any]) -> tuple[str, str, bool]:
    """(kind with its hand, "" where it is not known; region; whether colours contradict it)."""
    _, zone_region, _ = stated(world, mark["at"])
    _, user_region, _ = stated({"zones": world["zones"], "charts": []}, mark["at"])
    region = user_region or world["region"] or mark["region"] or zone_region
    kind, colours = mark["kind"], mark["colours"]
    if kind == "lateral":
        found = _COLOUR.get((region, colours[0]), "") if colours and region else ""
        return found, region, False
    wrong = bool(colours and region and _COLOUR.get((region, colours[0])) != kind)
    return kind, region, wrong


def _beside_turns(world: dict[str, Any]) -> set[int]:
    """Legs that begin or end with a turn of some radius: there the track leaves the leg's line."""
    radii = world["route"]["radius_m"]
    count = len(world["route"]["legs"])
    return {n for n in range(count) if radii[n] > 0.0 or radii[n + 1] > 0.0}


def mark_claims(world: dict[str, Any], corridor: Corridor) -> list[Found]:
    """What must be said of marks, for any boat: (legs, rank, key, why)."""
    made: list[Found] = []
    margins = world["margins"]
    round_turns = _beside_turns(world)
    for mark, chart in kept_marks(world):
        off = uncertainty_m(mark, chart)
        feet = passes(corridor, mark)
        bends = at_waypoints(corridor, mark)
        met = [(frozenset({one.leg}), one) for one in told_apart(corridor, mark, feet, feet, off)]
        for legs, one in bends:
            met += [(legs, p) for p in told_apart(corridor, mark, [one], feet, off)]
        twins = [
            m
            for c in world["charts"]
            for m in c["marks"]
            if m is not mark and GEOD.inv(*m["at"], *mark["at"])[2] < 6.0
        ]
        for at, one in met:
            if at & round_turns:
                continue
            beside = [corridor.legs[n] for n in at]
            width = min(b.starboard_m if one.side == "starboard" else b.port_m for b in beside)
            near = max(margins["mark_near_m"], width) - _SURE_M
            far = max(margins["mark_far_m"], width) - _SURE_M
            lapped = one.distance_m < width - _SURE_M
            for rank, why in _of_pass(world, mark, one, off, near, far, lapped, bool(twins)):
                text = (
                    f"{why}: {mark['kind']} {mark['colours']} {one.distance_m:.1f} m to {one.side} "
                    f"on course {one.course_deg:.1f}, uncertainty {off:.1f}, near {near:.0f}"
                )
                made.append((at, rank, mark["key"], text))
    return made


def _of_pass(
    world: dict[str, Any],
    mark: dict[str, Any],
    one: Pass,
    off: float,
    near: float,
    far: float,
    lapped: bool,
    twins: bool,
) -> list[tuple[int, str]]:
    kind = mark["kind"]
    if kind in _LATERAL:
        return _lateral(world, mark, one, off, near, lapped)
    if kind in _BANDS["A"]:
        return _fork(world, mark, one, off, near, lapped)
    if kind in _CARDINAL_DEG:
        if one.distance_m <= off - _SURE_M:
            return [(CAUTION, "too close to call")]
        turn = abs((one.bearing_deg - _CARDINAL_DEG[kind] + 180.0) % 360.0 - 180.0)
        if turn > 136.0 and off + _SURE_M < one.distance_m <= near:
            return [(DANGER, "in the opposite quadrant")]
        if turn > 91.0 and off + _SURE_M < one.distance_m <= near:
            return [(CAUTION, "on the wrong side")]
        return [(CAUTION, "in the corridor")] if lapped else []
    clear = one.distance_m - off + _SURE_M
    if kind == "isolated-danger":
        if lapped or clear <= 0.0:
            return [(DANGER, "isolated danger in the corridor")]
        return [(CAUTION, "isolated danger near")] if clear <= near else []
    if kind == "emergency-wreck":
        if lapped or clear <= near:
            return [(DANGER, "emergency wreck mark near")]
        return [(CAUTION, "emergency wreck mark")] if clear <= far else []
    # Special and safe-water marks have no side to keep: a caution only where they may be struck.
    struck = not mark["floating"] or one.distance_m <= off - _SURE_M
    return [(CAUTION, "may be struck")] if lapped and struck else []


def _fork(
    world: dict[str, Any], mark: dict[str, Any], one: Pass, off: float, near: float, lapped: bool
) -> list[tuple[int, str]]:
    """A preferred-channel mark may be left on either side, one of them the secondary channel."""
    _, region, _ = hand(world, {**mark, "kind": "port-hand", "colours": []})
    direction, _, sure = stated(world, mark["at"])
    quarrel = _quarrels(world, mark, one)
    if quarrel:
        return [(NOT_ASSESSED, quarrel)] if one.distance_m <= near else []
    if not sure or any(contested(world, mark["at"])[:2]):
        return []
    if mark["colours"] and region and _BANDS[region][mark["kind"]] != mark["colours"]:
        return (
            [(NOT_ASSESSED, f"its bands contradict it in {region}")]
            if one.distance_m <= near
            else []
        )
    if direction is not None and one.distance_m <= off - _SURE_M:
        return [(CAUTION, "too close to call")]
    return [(CAUTION, "in the corridor")] if lapped and direction is not None else []


def _lateral(
    world: dict[str, Any], mark: dict[str, Any], one: Pass, off: float, near: float, lapped: bool
) -> list[tuple[int, str]]:
    direction, _, sure = stated(world, mark["at"])
    kind, region, wrong = hand(world, mark)
    quarrel = _quarrels(world, mark, one)
    if quarrel:
        return [(NOT_ASSESSED, quarrel)] if one.distance_m <= near else []
    if not sure or any(contested(world, mark["at"])[:2]):
        return []
    if not kind or wrong:
        if one.distance_m <= near:
            return [(NOT_ASSESSED, f"hand not known or contradicted, region {region!r}")]
        return []
    if direction is None:
        return []  # inferred grounds may tell: left to the tests of inference
    if one.distance_m <= off - _SURE_M:
        return [(CAUTION, "too close to call")]
    turn = abs((one.course_deg - direction + 180.0) % 360.0 - 180.0)
    if 68.0 < turn < 112.0:
        return []  # crossing the channel, as far as the course at the mark says
    with_it = turn < 90.0
    wanted = _HAND[kind] if with_it else {"port": "starboard", "starboard": "port"}[_HAND[kind]]
    if one.side == wanted:
        return [(CAUTION, "in the corridor")] if lapped else []
    if off + _SURE_M < one.distance_m <= near:
        return [(DANGER, f"wrong side: direction {direction}, to be left to {wanted}")]
    return []
