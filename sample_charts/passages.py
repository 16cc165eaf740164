"""The boat, the tide and the routes through the Marenquil Islands."""

from __future__ import annotations

from features import TURN_X_KM, on_axis
from seabed import DAWN_AXIS, DUSK_AXIS, to_lonlat

Place = tuple[str, float, float]


def boat_toml() -> str:
    """An invented boat of 11 metres."""
    return """\
# An invented boat. Every length bears its unit; "6 ft 3 in" would do as well.
name = "Sedge Warbler"
draught = "1.9 m"
air_draught = "16.5 m"
length = "11.0 m"
beam = "3.6 m"
speed = "5.5 kn"

[margins]
under_keel = "1.0 m"
cross_track = "55 m"
eta = "30 min"
position = "10 m"
"""


def tide_toml() -> str:
    """A height of tide that holds throughout."""
    return """\
# The lowest height of tide that the skipper counts on while in the lagoon.
datum = "LAT"
uncertainty = "0.1 m"

[[station]]
name = "Great Marenquil"
lon = -117.0102
lat = -13.9815
constant = "0.3 m"
"""


def passages() -> dict[str, str]:
    """The route files by name."""

    def dusk(x: float, aside: float = 0.0) -> tuple[float, float]:
        return on_axis(DUSK_AXIS, x, aside)

    def dawn(x: float, aside: float = 0.0) -> tuple[float, float]:
        return on_axis(DAWN_AXIS, x, aside)

    bends = [*DUSK_AXIS[1:], *DAWN_AXIS[-2:0:-1]]
    clean: list[Place] = [
        ("Landfall west", *DUSK_AXIS[0]),
        *((f"Way {n}", x, y) for n, (x, y) in enumerate(bends, start=1)),
        ("Landfall east", *DAWN_AXIS[0]),
    ]
    over_a_shoal: list[Place] = [
        ("Inside Dusk Pass", *dusk(-4.75)),
        ("Short cut", -3.3, -2.5),
        ("Anvil side", -1.9, -2.12),
        ("Cinder side", -0.3, -1.68),
        ("Anchorage", 0.95, -1.45),
    ]
    # Left to starboard what belongs to port, and the other way about: right in region B.
    wrong_side: list[Place] = [
        ("Inside Dusk Pass", *dusk(-4.9)),
        ("South of Dusk 5", *dusk(-4.25, 0.27)),
        ("North of Dusk 6", *dusk(-2.95, -0.27)),
        ("South of Dusk 7", *dusk(-1.65, 0.27)),
        ("North of Dusk 8", *dusk(-0.45, -0.27)),
        ("North of Dawn 7", *dawn(1.65, 0.27)),
        ("South of Dawn 6", *dawn(3.05, -0.27)),
        ("North of Dawn 5", *dawn(4.35, 0.27)),
        ("Inside Dawn Pass", *dawn(4.95)),
    ]
    off_the_chart: list[Place] = [
        ("Mid lagoon", *dusk(-1.1)),
        *((f"Way {n}", x, y) for n, (x, y) in enumerate(DUSK_AXIS[3:0:-1], start=1)),
        ("Landfall west", *DUSK_AXIS[0]),
        ("Open sea", -12.6, -3.9),
    ]
    to_the_cove: list[Place] = [
        ("Inside Dusk Pass", *dusk(-4.75)),
        ("Turn", -3.55, 0.02),
        ("Between the heads", -2.855, 0.83),
        ("Cove", -2.42, 1.24),
    ]
    return {
        "clean.gpx": _gpx("Clean", clean),
        "over-a-shoal.gpx": _gpx("Over a shoal", over_a_shoal),
        "wrong-side.gpx": _gpx("Wrong side", wrong_side),
        "off-the-chart.gpx": _gpx("Off the chart", off_the_chart),
        "to-the-cove.gpx": _gpx("To the cove", to_the_cove),
        "to-the-cove.gpx.toml": _COVE_TOML,
        "dawn-inbound.rtz": _rtz(
            "Dawn inbound",
            [
                ("Landfall east", 9.1, 1.92),
                ("Dawn Pass", *DAWN_AXIS[1]),
                ("Inside", *DAWN_AXIS[2]),
                ("Bend", *DAWN_AXIS[3]),
                ("Mid lagoon", *dawn(TURN_X_KM + 1.2)),
            ],
        ),
    }


_COVE_TOML = """\
# What a GPX file cannot say: room and speed leg by leg, and the radius of the turns.
[[leg]]
legs = "2-3"
cross_track = "30 m"
speed = "3 kn"

[[leg]]
legs = "1-2"
turn_radius = "80 m"
"""


def _gpx(name: str, places: list[Place]) -> str:
    points = []
    for label, x, y in places:
        lon, lat = to_lonlat(x, y)
        points.append(f'    <rtept lat="{lat:.6f}" lon="{lon:.6f}"><name>{label}</name></rtept>')
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            '<gpx version="1.1" creator="make_charts.py"'
            ' xmlns="http://www.topografix.com/GPX/1/1">',
            "  <rte>",
            f"    <name>{name}</name>",
            *points,
            "  </rte>",
            "</gpx>",
            "",
        ]
    )


def _rtz(name: str, places: list[Place]) -> str:
    points = []
    for number, (label, x, y) in enumerate(places, start=1):
        lon, lat = to_lonlat(x, y)
        leg = '<leg portsideXTD="0.030" starboardXTD="0.030" speedMax="5.0"/>'
        turn = ' radius="0.050"' if 1 < number < len(places) else ""
        points.append(
            f'    <waypoint id="{number}" name="{label}"{turn}>'
            f'<position lat="{lat:.6f}" lon="{lon:.6f}"/>{leg if number > 1 else ""}</waypoint>'
        )
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            '<route version="1.2" xmlns="http://www.cirm.org/RTZ/1/2">',
            f'  <routeInfo routeName="{name}"/>',
            "  <waypoints>",
            *points,
            "  </waypoints>",
            "</route>",
            "",
        ]
    )
