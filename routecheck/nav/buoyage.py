"""The IALA Maritime Buoyage System as plain rules: kinds, colours, hands, sides.

Source of the tables: IALA Recommendation R1001, The IALA Maritime Buoyage System (sections on
lateral, modified lateral, cardinal, isolated danger, safe water, special and emergency wreck
marks); categories as in IHO S-57 ed. 3.1, attributes CATLAM and CATCAM. Kinds of mark are the
words of `model.objects.MarkKind`, colours are words from top to bottom, regions "A" and "B".
"""

from __future__ import annotations

from collections.abc import Sequence

from routecheck.nav.angles import turn_deg, wrap360_deg

PORT, STARBOARD = "port", "starboard"
OTHER_SIDE = {PORT: STARBOARD, STARBOARD: PORT}
OTHER_REGION = {"A": "B", "B": "A"}

# R1001, lateral marks: the side on which a mark is left when going with the direction of
# buoyage. A preferred-channel mark is a modified lateral mark of the hand given here, for
# those who follow the preferred channel (S-57 CATLAM 3 and 4).
HAND = {
    "port-hand": PORT,
    "starboard-hand": STARBOARD,
    "preferred-channel-to-starboard": PORT,
    "preferred-channel-to-port": STARBOARD,
}
PREFERRED = frozenset({"preferred-channel-to-starboard", "preferred-channel-to-port"})

# R1001, lateral marks: colours by region. The hands keep their shapes, the colours swap.
_RED, _GREEN = ("red",), ("green",)
_RED_BAND, _GREEN_BAND = ("green", "red", "green"), ("red", "green", "red")
LATERAL_COLOURS = {
    ("A", "port-hand"): _RED,
    ("A", "starboard-hand"): _GREEN,
    ("A", "preferred-channel-to-starboard"): _GREEN_BAND,
    ("A", "preferred-channel-to-port"): _RED_BAND,
    ("B", "port-hand"): _GREEN,
    ("B", "starboard-hand"): _RED,
    ("B", "preferred-channel-to-starboard"): _RED_BAND,
    ("B", "preferred-channel-to-port"): _GREEN_BAND,
}

# R1001, cardinal marks: black bands follow the top mark's points. The same in both regions.
CARDINAL_COLOURS = {
    "north": ("black", "yellow"),
    "east": ("black", "yellow", "black"),
    "south": ("yellow", "black"),
    "west": ("yellow", "black", "yellow"),
}
CARDINAL_DEG = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}
OPPOSITE = {"north": "south", "south": "north", "east": "west", "west": "east"}

# R1001: the colours that each of the other kinds must show.
_MUST_SHOW = {
    "isolated-danger": frozenset({"black", "red"}),
    "safe-water": frozenset({"red", "white"}),
    "emergency-wreck": frozenset({"blue", "yellow"}),
}

SQUARE_DEG = 20.0
"""Within this of square to a stated direction a track crosses the channel (common practice)."""


def side_to_leave(kind: str, *, with_direction: bool) -> str:
    """On which side of the boat a lateral mark is left: "port" or "starboard"; "" for others.

    A preferred-channel mark: as for a boat that follows the preferred channel.

    >>> side_to_leave("port-hand", with_direction=True)
    'port'
    >>> side_to_leave("preferred-channel-to-starboard", with_direction=False)
    'starboard'
    """
    hand = HAND.get(kind, "")
    return hand if with_direction or not hand else OTHER_SIDE[hand]


def plain_colours(colours: Sequence[str]) -> tuple[str, ...]:
    """Lower case, without blanks, one of each run of equal neighbours."""
    words = [word.strip().lower() for word in colours if word.strip()]
    return tuple(w for i, w in enumerate(words) if i == 0 or w != words[i - 1])


def kind_from_colours(colours: Sequence[str], region: str) -> str:
    """The kind of a lateral mark that states colours and no hand; "" where they do not say.

    >>> kind_from_colours(["red"], "A"), kind_from_colours(["red"], "B")
    ('port-hand', 'starboard-hand')
    """
    shown = plain_colours(colours)
    for (where, kind), wanted in LATERAL_COLOURS.items():
        if where == region and shown == wanted:
            return kind
    return ""


def contradiction(kind: str, colours: Sequence[str], region: str) -> str:
    """What in kind, colours and region does not fit together, in words; "" where all fits.

    Colours that are not stated contradict nothing, nor does a region that is not known.
    """
    shown = plain_colours(colours)
    if not shown:
        return ""
    said = ", ".join(shown)
    if kind in CARDINAL_COLOURS:
        wanted = CARDINAL_COLOURS[kind]
        if shown != wanted:
            return f"{a_cardinal(kind)} is {', '.join(wanted)}; this one is charted {said}"
        return ""
    if kind in _MUST_SHOW:
        if not _MUST_SHOW[kind] <= set(shown):
            return (
                f"a mark of kind {kind} shows {' and '.join(sorted(_MUST_SHOW[kind]))}; "
                f"this one is charted {said}"
            )
        return ""
    if kind == "special":
        other = _coloured_as(shown)
        return f"{said} is the colouring of {other}; the chart says special mark" if other else ""
    if kind in HAND:
        return _hand_contradiction(kind, shown, region)
    if kind == "lateral" and region in OTHER_REGION and not kind_from_colours(shown, region):
        return f"{said} is not the colouring of a lateral mark in region {region}"
    return ""


def _coloured_as(shown: tuple[str, ...]) -> str:
    """The kind of mark, other than lateral, that has exactly these colours; "" for none.

    Red or green alone says nothing: many harbours mark pipes and ranges with them.
    """
    for name, wanted in CARDINAL_COLOURS.items():
        if shown == wanted:
            return f"{'an' if name == 'east' else 'a'} {name} cardinal mark"
    return "an isolated danger mark" if shown == ("black", "red", "black") else ""


def _hand_contradiction(kind: str, shown: tuple[str, ...], region: str) -> str:
    said = ", ".join(shown)
    lateral = tuple(word for word in shown if word in ("red", "green"))
    if not lateral:
        return f"{said} is not the colouring of a lateral mark, which this one is said to be"
    banded = len(set(lateral)) == 2
    if banded != (kind in PREFERRED):
        what = "a preferred-channel mark" if banded else "a plain lateral mark"
        return f"{said} is the colouring of {what}; the chart says {kind}"
    if region not in OTHER_REGION:
        return ""
    wanted = LATERAL_COLOURS[region, kind]
    if lateral[0] != wanted[0]:
        return (
            f"in region {region} a mark of kind {kind} is {', '.join(wanted)}; "
            f"this one is charted {said}"
        )
    return ""


def sense_of_course(course_deg: float, direction_deg: float) -> str:
    """How a course runs against a stated direction: "with", "against" or "crossing".

    >>> sense_of_course(350.0, 10.0), sense_of_course(95.0, 10.0), sense_of_course(200.0, 10.0)
    ('with', 'crossing', 'against')
    """
    off_deg = abs(turn_deg(direction_deg, course_deg))
    if abs(off_deg - 90.0) <= SQUARE_DEG:
        return "crossing"
    return "with" if off_deg < 90.0 else "against"


def pair_direction_deg(port_to_starboard_deg: float) -> float:
    """The direction of buoyage through a facing pair, from the bearing of its starboard-hand
    mark seen from its port-hand mark: going that way leaves the one to port, the other to
    starboard.

    >>> pair_direction_deg(90.0)
    0.0
    """
    return float(wrap360_deg(port_to_starboard_deg - 90.0))


def a_cardinal(side: str) -> str:
    """A cardinal mark in a sentence.

    >>> a_cardinal("east"), a_cardinal("north")
    ('an east cardinal mark', 'a north cardinal mark')
    """
    return f"{'an' if side == 'east' else 'a'} {side} cardinal mark"


def quadrant(bearing_deg: float) -> str:
    """The quadrant of a bearing *from* the mark: north is 315 to 045 (R1001, cardinal marks).

    >>> quadrant(350.0), quadrant(45.0), quadrant(134.9)
    ('north', 'east', 'east')
    """
    return ("north", "east", "south", "west")[int(((bearing_deg + 45.0) % 360.0) // 90.0) % 4]


# R1001: region B is the Americas, Japan, Korea and the Philippines, region A the rest. Boxes
# (west, south, east, north) that keep well inside either; between them the drawn line decides.
_SURELY = (
    ("B", -125.0, 8.0, -60.0, 50.0),
    ("B", -82.0, -45.0, -35.0, 8.0),
    ("B", 133.0, 31.0, 145.0, 42.0),
    ("B", 119.5, 7.0, 126.0, 19.0),
    ("A", -15.0, 30.0, 50.0, 70.0),
    ("A", -20.0, -40.0, 55.0, 30.0),
    ("A", 55.0, -40.0, 110.0, 25.0),
    ("A", 112.0, -45.0, 155.0, -12.0),
    ("A", 165.0, -48.0, 179.0, -34.0),
)


def region_of_place(lon_deg: float, lat_deg: float) -> str:
    """The region that a place surely lies in, "" where only the chart can tell.

    Never a reason to judge a side; only to wonder at a chart that says otherwise.

    >>> region_of_place(-76.0, 39.0), region_of_place(4.0, 52.0), region_of_place(-155.0, 20.0)
    ('B', 'A', '')
    """
    for region, west, south, east, north in _SURELY:
        if west <= lon_deg <= east and south <= lat_deg <= north:
            return region
    return ""
