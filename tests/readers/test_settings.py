"""boat.toml and tide.toml."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.boat import Boat, Margins
from routecheck.model.errors import BadInput
from routecheck.model.passage import Tide
from routecheck.readers.settings import read_boat, read_tide

WHOLE = """
name = "Any boat"
draught = "1.9 m"
air_draught = "17.5 m"
length = "11.2 m"
beam = "3.6 m"
speed = "5.5 kn"
[margins]
under_keel = "0.8 m"
cross_track = "0.2 nmi"
overhead = "2 m"
eta = "45 min"
position = "15 m"
squat = "0.1 m"
heel_swell = "0.2 m"
mark_near = "0.05 nmi"
mark_far = "0.3 nmi"
coarsest_grid = "50 m"
smallest_scale = 90000
oldest_survey = 1985
"""


def boat(tmp_path: Path, text: str) -> Boat:
    path = tmp_path / "boat.toml"
    path.write_text(text, encoding="utf-8")
    return read_boat(path)


def tide(tmp_path: Path, text: str) -> Tide:
    path = tmp_path / "tide.toml"
    path.write_text(text, encoding="utf-8")
    return read_tide(path)


def test_a_whole_boat(tmp_path: Path) -> None:
    made = boat(tmp_path, WHOLE)
    assert (made.name, made.draught_m, made.air_draught_m) == ("Any boat", 1.9, 17.5)
    assert (made.length_m, made.beam_m, made.speed_kn) == (11.2, 3.6, 5.5)
    assert asdict(made.margins) == pytest.approx(
        {
            "under_keel_m": 0.8,
            "cross_track_m": 370.4,
            "overhead_m": 2.0,
            "eta_s": 2700.0,
            "position_m": 15.0,
            "squat_m": 0.1,
            "heel_swell_m": 0.2,
            "mark_near_m": 92.6,
            "mark_far_m": 555.6,
            "coarsest_grid_m": 50.0,
            "smallest_scale": 90000.0,
            "oldest_survey_year": 1985.0,
        }
    )


def test_the_least_boat_keeps_the_defaults(tmp_path: Path) -> None:
    made = boat(tmp_path, 'draught = "6 ft 3 in"')
    # Six feet three inches by the international foot: NIST SP 811 (2008), Appendix B.8.
    assert made.draught_m == pytest.approx(1.905, abs=1e-9)
    assert (made.name, made.margins, made.speed_kn) == ("boat", Margins(), None)


@pytest.mark.parametrize(
    ("value", "metres"),
    [
        ('"1.0 m"', 1.0),
        ('"20 % of draught"', 0.4),
        ('"20%"', 0.4),
        ('["0.3 m", "20 % of the draught"]', 0.4),
        ('["0.5 m", "20 % of draught"]', 0.5),
        ('"0 m"', 0.0),
    ],
)
def test_the_larger_under_keel_clearance_counts(tmp_path: Path, value: str, metres: float) -> None:
    made = boat(tmp_path, f'draught = "2 m"\n[margins]\nunder_keel = {value}')
    assert made.margins.under_keel_m == pytest.approx(metres)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('name = "x"', 'the boat has no draught; add draught = "1.9 m"'),
        ('draught = "-1.9 m"', "draught: '-1.9 m' is not above zero"),
        ('draught = "0 m"', "draught: '0 m' is not above zero"),
        ('draught = "1900 kg"', "draught: length '1900 kg' is in 'kg', which is no unit of length"),
        ("draught = 1.9", "draught: length 1.9 has no unit"),
        ('draught = "1.9"', "draught: length '1.9' has no unit"),
        ('draught = "2 M"', "M may be metres or nautical miles"),
        ('draught = "1,9 m"', "draught: length '1,9 m'"),
        ('draught = "nan m"', "cannot be read"),
        ('draught = "1e400 m"', "not a finite number"),
        ('draught = "5000 m"', "more than 1000 m"),
        ("draught = nan", "has no unit"),
        ("draught = true", "has no unit"),
        ('draft = "1.9 m"', "did you mean 'draught'? known keys: name, draught"),
        ('draught = "2 m"\nspeed = "0 kn"', "speed: '0 kn' is not above zero"),
        (
            'draught = "2 m"\nspeed = "5 m"',
            "speed: speed '5 m' is in 'm', which is no unit of speed",
        ),
        ('draught = "2 m"\nname = 7', "name: 7 is not text in quotes"),
        ('draught = "2 m"\nmargins = 3', "write [margins]"),
        ('draught = "2 m"\n[margins]\nunder_keal = "1 m"', "[margins]: 'under_keal' is not a key"),
        ('draught = "2 m"\n[margins]\nunder_keel = "-1 m"', "[margins], under_keel: '-1 m' is not"),
        ('draught = "2 m"\n[margins]\nunder_keel = "20 % of length"', "not a share of the draught"),
        ('draught = "2 m"\n[margins]\nunder_keel = []', "give one value"),
        ('draught = "2 m"\n[margins]\nunder_keel = [1]', "has no unit"),
        ('draught = "2 m"\n[margins]\ncross_track = "20 nmi"', "more than 18520 m"),
        ('draught = "2 m"\n[margins]\neta = "30 m"', "no unit of time"),
        ('draught = "2 m"\n[margins]\nsmallest_scale = 0', "no scale's denominator"),
        ('draught = "2 m"\n[margins]\noldest_survey = 19.5', "19.5 is no year"),
        ('draught = "2 m"\n[margins]\nsmallest_scale = inf', "smallest_scale: inf is not a finite"),
        ('draught = "2 m"\n[margins]\nmark_far = "1 m"', "mark_far: it is less than mark_near"),
        ("draught = ", "line 1"),
    ],
)
def test_a_bad_boat_is_told_by_its_key(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        boat(tmp_path, text)
    line = str(caught.value)
    assert said in line and line.startswith(str(tmp_path / "boat.toml")) and "\n" not in line


HEAD = 'datum = "LAT"\nuncertainty = "0.1 m"\n'
ONE = '[[station]]\nconstant = "0.4 m"\n'


def test_one_constant_station_holds_everywhere(tmp_path: Path) -> None:
    made = tide(tmp_path, HEAD + ONE)
    assert (made.datum, made.uncertainty_m) == ("LAT", 0.1)
    assert made.station_for(170.0, -40.0).constant_m == 0.4
    assert made.stations[0].name == "station 1"


@pytest.mark.parametrize(
    ("written", "datum"),
    [("chart", "chart datum"), ("lat", "LAT"), ("mean sea level", "MSL"), ("MLLW", "MLLW")],
)
def test_datums_by_their_one_spelling(tmp_path: Path, written: str, datum: str) -> None:
    assert tide(tmp_path, HEAD.replace("LAT", written) + ONE).datum == datum


def test_a_tide_below_datum_is_a_tide(tmp_path: Path) -> None:
    assert tide(tmp_path, HEAD + ONE.replace("0.4", "-0.4")).stations[0].constant_m == -0.4


def test_stations_hold_where_they_are_nearest_or_in_their_zone(tmp_path: Path) -> None:
    square = [[[0, 50], [1, 50], [1, 51], [0, 51], [0, 50]]]
    zone = {"type": "Polygon", "coordinates": square}
    (tmp_path / "harbour.geojson").write_text(json.dumps(zone), encoding="utf-8")
    text = HEAD + (
        '[[station]]\nname="A"\nlon=10\nlat=54.5\nconstant="1 m"\n'
        '[[station]]\nname="B"\nlon=12.0\nlat=54.5\nconstant="2 m"\n'
        '[[station]]\nname="C"\nzone="harbour.geojson"\nconstant="3 m"\n'
    )
    made = tide(tmp_path, text)
    assert [made.station_for(lon, lat).name for lon, lat in ((10, 55), (13, 55), (0.5, 50.5))] == [
        "A",
        "B",
        "C",
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('uncertainty="0 m"\n' + ONE, "from what the heights are measured"),
        ('datum="LAT"\n' + ONE, "how far off the heights may be"),
        (HEAD, "no [[station]]"),
        (HEAD.replace("LAT", "Ordnance"), "datum: datum 'Ordnance' is not known"),
        (HEAD.replace("LAT", "unknown") + ONE, "of no use"),
        (HEAD + "[[station]]\nname='x'", "[[station]] 1: it gives no height"),
        (HEAD + "[[station]]\nconstant = 0.4", "[[station]] 1, constant: length 0.4 has no unit"),
        (HEAD + "[[station]]\ntable = 'x.csv'", "x.csv: there is no such file"),
        (HEAD + "[[station]]\nseries = 'x.csv'", "x.csv: there is no such file"),
        (HEAD + "[[station]]\nmean_level = '2 m'\nconstituents = []", "0 constituents"),
        (HEAD + "[[station]]\nsecondary_to = 'x'", "'x' is no station here"),
        (HEAD + ONE + "lon = 10", "it has one of lon and lat"),
        (HEAD + ONE + "lon = nan\nlat = 1", "lon: nan is not a finite number"),
        (HEAD + ONE + "lon = 10\nlat = 95", "lat: latitude 95"),
        (HEAD + ONE + "lon = '10'\nlat = 5", "'10' is not a number"),
        (HEAD + ONE + ONE.replace("const", "name='b'\nconst"), "it is not said where it holds"),
        (HEAD + (ONE + "name='b'\nlon=1\nlat=1\n") * 2, "another station is called 'b' too"),
        (HEAD + ONE + "zone = '../x.geojson'", "not the plain name of a file beside"),
        (HEAD + ONE + "zone = 'none.geojson'", "none.geojson: there is no such file"),
        (HEAD + ONE + "hight = '1 m'", "'hight' is not a key here"),
    ],
)
def test_a_bad_tide_is_told_by_its_key(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        tide(tmp_path, text)
    assert said in str(caught.value)


def test_a_zone_alone_would_lend_its_height_to_other_waters(tmp_path: Path) -> None:
    zone = {"type": "Polygon", "coordinates": [[[0, 50], [1, 50], [1, 51], [0, 50]]]}
    (tmp_path / "z.geojson").write_text(json.dumps(zone), encoding="utf-8")
    with pytest.raises(BadInput, match="outside there would be none"):
        tide(tmp_path, HEAD + ONE + 'zone = "z.geojson"')
    assert tide(tmp_path, HEAD + ONE + 'zone = "z.geojson"\nlon = 1\nlat = 50').stations[0].zone


VALUES = st.sampled_from(['"1 m"', '"-1 m"', "1", "nan", "[]", "{}", '"x"', "true", '"5 kn"'])
KEYS = st.sampled_from(["draught", "speed", "name", "margins", "datum", "station", "lon", "x"])


@given(st.dictionaries(KEYS, VALUES, max_size=5))
def test_no_table_raises_anything_but_bad_input(
    tmp_path_factory: pytest.TempPathFactory, values: dict[str, str]
) -> None:
    path = tmp_path_factory.mktemp("toml") / "x.toml"
    path.write_text("#\n" + "\n".join(f"{k} = {v}" for k, v in values.items()), encoding="utf-8")
    with pytest.raises(BadInput):
        read_tide(path)
    try:
        made = read_boat(path)
    except BadInput:
        return
    assert made.draught_m > 0.0
