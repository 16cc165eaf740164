"""What must hold for marks whatever the scene: mirrored, reversed, recoloured, moved anywhere.

Scenes are drawn at random: a track of some legs, marks of all kinds round it, with or without a
stated direction, numbers and colours.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from itertools import cycle, pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from routecheck.model.finding import MarkOutcome
from routecheck.model.objects import BuoyageZone, Mark, MarkKind
from routecheck.model.passes import GroundKind, MarkPass
from tests.buoys import Place, Spot, charts, judged, mark, met, zone

OTHER_SIDE = {"port": "starboard", "starboard": "port", "": ""}
MIRRORED = {
    "port-hand": "starboard-hand",
    "starboard-hand": "port-hand",
    "preferred-channel-to-port": "preferred-channel-to-starboard",
    "preferred-channel-to-starboard": "preferred-channel-to-port",
    "east": "west",
    "west": "east",
}
ACROSS = {**OTHER_SIDE, "east": "west", "west": "east"}
RECOLOURED = {"red": "green", "green": "red"}
COLOURS = [("red",), ("green",), ("red", "green", "red"), ("green", "red", "green")]


@dataclass(frozen=True)
class Buoy:
    place: Place
    kind: str
    colours: tuple[str, ...]
    name: str


@dataclass(frozen=True)
class World:
    track: tuple[Place, ...]
    buoys: tuple[Buoy, ...]
    direction_deg: float | None
    region: str
    spot: Spot = field(default_factory=lambda: Spot(10.0, 30.0))

    def marks(self) -> list[Mark]:
        return [
            mark(b.place, b.kind, b.name, colours=b.colours, spot=self.spot) for b in self.buoys
        ]

    def zones(self) -> list[BuoyageZone]:
        return [zone(self.direction_deg, self.region, spot=self.spot)]

    def passes(self) -> list[MarkPass]:
        return met(list(self.track), charts(self.marks(), self.zones()), spot=self.spot)

    def answers(self) -> list[tuple[object, ...]]:
        """What is said of each pass, in a shape that can be compared."""
        return sorted(
            (
                one.mark.name,
                one.leg,
                one.side if one.passed else "",
                one.passed,
                said.outcome,
                str(said.severity),
                said.fault,
                said.side_required,
                tuple((g.kind, g.sense) for g in one.grounds),
                one.gate is not None and one.gate.between,
                one.other_channel,
                bool(one.conflict),
                bool(one.contradiction),
            )
            for one in self.passes()
            for said in [judged(one)]
        )


@st.composite
def worlds(draw: st.DrawFn) -> World:
    legs = draw(st.integers(1, 4))
    track: list[Place] = [(0.0, 0.0)]
    for _ in range(legs):
        east = draw(st.integers(-15, 15))
        north = draw(st.integers(-15, 15))
        assume(abs(east) + abs(north) >= 5)
        track.append((track[-1][0] + 100.0 * east, track[-1][1] + 100.0 * north))
    buoys = []
    for number in range(draw(st.integers(1, 8))):
        start = track[draw(st.integers(0, legs))]
        east, north = draw(st.integers(-700, 700)), draw(st.integers(-700, 700))
        # No multiples of a metre: ties between a leg and its neighbour are not the point here.
        place = (start[0] + east + 0.37, start[1] + north + 0.21)
        kind = draw(st.sampled_from([k.value for k in MarkKind]))
        colours = draw(st.sampled_from(COLOURS)) if kind == "lateral" else ()
        run = draw(st.sampled_from(["Reach", "Sound", "Stone"]))
        buoys.append(Buoy(place, kind, colours, f"{run} {number}"))
    return World(
        track=tuple(track),
        buoys=tuple(buoys),
        direction_deg=draw(st.sampled_from([None, 0.0, 10.0, 75.0, 200.0, 333.0])),
        region=draw(st.sampled_from(["A", "B"])),
    )


def decided(world: World) -> None:
    """Leave out scenes that lie within a metre of a limit, where any nudge may turn the answer."""
    courses = [
        math.degrees(math.atan2(x2 - x1, y2 - y1)) for (x1, y1), (x2, y2) in pairwise(world.track)
    ]
    for before, after in pairwise(courses):
        assume(abs((after - before) % 360.0 - 180.0) > 5.0)  # no turning back on itself
    for buoy in world.buoys:
        for x, y in world.track:  # a waypoint on the border of a quadrant of a cardinal mark
            assume(abs(abs(x - buoy.place[0]) - abs(y - buoy.place[1])) > 5.0)
    for one in world.passes():
        for limit_m in (0.5, 20.0, 50.0, 185.2, 740.8):
            assume(abs(one.distance_m - limit_m) > 3.0)
        off_end_deg = (one.track_bearing_deg - one.course_deg) % 90.0
        assume(abs(off_end_deg - 45.0) > 1.0)  # as much ahead as abeam of an end
        if one.kind.value in ACROSS or one.kind.value in ("north", "south"):
            assume(1.0 < one.track_bearing_deg % 45.0 < 44.0)
        if world.direction_deg is not None:
            angle = abs((one.course_deg - world.direction_deg - world.spot.turn_deg) % 180.0 - 90.0)
            assume(abs(angle - 20.0) > 1.0)


def steady(world: World) -> None:
    """Leave out scenes whose answers turn when the marks are moved by a few metres."""
    answers = world.answers()
    for sign in (-1.0, 1.0):
        nudged = tuple(
            replace(b, place=(b.place[0] + sign * dx, b.place[1] + sign * dy))
            for b, (dx, dy) in zip(
                world.buoys, cycle([(3.0, 1.0), (-2.0, 2.5), (1.0, -3.0)]), strict=False
            )
        )
        assume(replace(world, buoys=nudged).answers() == answers)


@given(worlds())
def test_mirrored_every_side_swaps_and_every_answer_stays(world: World) -> None:
    decided(world)
    flipped = replace(
        world,
        track=tuple((-x, y) for x, y in world.track),
        buoys=tuple(
            replace(
                b,
                place=(-b.place[0], b.place[1]),
                kind=MIRRORED.get(b.kind, b.kind),
                colours=tuple(RECOLOURED[c] for c in b.colours),
            )
            for b in world.buoys
        ),
        direction_deg=None if world.direction_deg is None else -world.direction_deg % 360.0,
    )
    swapped = sorted(
        (name, leg, OTHER_SIDE[str(side)], *rest[:4], ACROSS.get(str(rest[4]), rest[4]), *rest[5:])
        for name, leg, side, *rest in flipped.answers()
    )
    assert swapped == world.answers()


@given(worlds())
def test_reversed_every_right_side_stays_right(world: World) -> None:
    """Marks rightly passed inbound are rightly passed outbound; sides swap, both ways."""
    decided(world)
    there = {one.mark.name: one for one in world.passes()}
    back = {one.mark.name: one for one in replace(world, track=world.track[::-1]).passes()}
    assert there.keys() == back.keys()
    for name, one in there.items():
        if len([p for p in world.passes() if p.mark.name == name]) > 1:
            continue  # met more than once: which pass is which is not told by the name
        other = back[name]
        assert other.side == OTHER_SIDE[one.side]
        first, second = judged(one), judged(other)
        assert (first.outcome, first.severity, first.fault) == (
            second.outcome, second.severity, second.fault,
        )  # fmt: skip


@given(worlds())
def test_region_a_with_colours_exchanged_is_region_b(world: World) -> None:
    exchanged = replace(
        world,
        region={"A": "B", "B": "A"}[world.region],
        buoys=tuple(
            replace(b, colours=tuple(RECOLOURED[c] for c in b.colours)) for b in world.buoys
        ),
    )
    assert exchanged.answers() == world.answers()


@pytest.mark.parametrize(
    "spot",
    [Spot(179.999, 0.0), Spot(-180.0, 20.0, 50.0), Spot(0.0, 0.0, 200.0), Spot(25.0, 75.0, 120.0)],
    ids=["antimeridian", "antimeridian turned", "equator", "75 N"],
)
@given(world=worlds())
def test_moved_and_turned_anywhere_nothing_changes(world: World, spot: Spot) -> None:
    cardinal = any(b.kind in ("north", "east", "south", "west") for b in world.buoys)
    if cardinal:
        spot = replace(spot, turn_deg=0.0)  # a cardinal mark knows where north is
    decided(world)
    moved = replace(world, spot=spot)
    steady(world)
    assert moved.answers() == world.answers()


@given(worlds(), st.integers(1, 99))
def test_a_waypoint_put_on_a_leg_changes_no_answer(world: World, share: int) -> None:
    decided(world)
    (x1, y1), (x2, y2) = world.track[0], world.track[1]
    middle = (x1 + (x2 - x1) * share / 100.0, y1 + (y2 - y1) * share / 100.0)
    split = replace(world, track=(world.track[0], middle, *world.track[1:]))

    def without_legs(one: World) -> list[tuple[object, ...]]:
        return sorted((name, *rest) for name, _, *rest in one.answers())

    assert without_legs(split) == without_legs(world)


@given(worlds())
def test_a_side_that_nothing_tells_is_never_called_right(world: World) -> None:
    bare = replace(
        world,
        direction_deg=None,
        buoys=tuple(replace(b, name=f"{b.name.split()[0]} rock") for b in world.buoys),
    )
    for one in bare.passes():
        if any(ground.kind is GroundKind.EDGES for ground in one.grounds):
            continue  # two rows of marks do tell
        if one.kind.value in MIRRORED and one.kind.value not in ("east", "west"):
            assert judged(one).outcome is not MarkOutcome.RIGHT
