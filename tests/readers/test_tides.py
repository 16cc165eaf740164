"""tide.toml: every kind of station, and one clear line for each that cannot be used."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.errors import BadInput
from routecheck.model.tide import Tide
from routecheck.readers.tides import read_tide

HEAD = 'datum = "LAT"\nuncertainty = "0.1 m"\n'
TABLE = """time,height_m,kind
2027-05-14T01:10Z,0.6,L
2027-05-14T07:20Z,4.9,H
2027-05-14T13:35Z,0.9,L
2027-05-14T19:50Z,4.6,H
2027-05-15T02:00Z,0.4,L
"""
M2 = '[{ name = "M2", amplitude = "1.2 m", phase_deg = 134.2 }]'


def read(folder: Path, text: str, **files: str) -> Tide:
    for name, content in files.items():
        (folder / name.replace("_csv", ".csv")).write_text(content, encoding="utf-8")
    path = folder / "tide.toml"
    path.write_text(text, encoding="utf-8")
    return read_tide(path)


def at(text: str) -> float:
    return datetime.fromisoformat(text).astimezone(UTC).timestamp()


def height_m(tide: Tide, text: str, station: int = 0) -> float:
    return float(tide.stations[station].source.height_m(np.array([at(text)]))[0])


def test_a_table_of_high_and_low_waters(tmp_path: Path) -> None:
    tide = read(tmp_path, HEAD + '[[station]]\ntable = "t.csv"\n', t_csv=TABLE)
    assert tide.varies
    assert height_m(tide, "2027-05-14T07:20Z") == pytest.approx(4.9, abs=0.001)
    assert height_m(tide, "2027-05-14T10:27:30Z") == pytest.approx(2.9, abs=0.001)
    assert tide.stations[0].source.spans_s == ((at("2027-05-14T01:10Z"), at("2027-05-15T02:00Z")),)


def test_a_table_in_feet_and_in_another_zone(tmp_path: Path) -> None:
    text = TABLE.replace("height_m", "height_ft").replace("Z,", "+01:00,")
    tide = read(tmp_path, HEAD + '[[station]]\ntable = "t.csv"\n', t_csv=text)
    assert height_m(tide, "2027-05-14T06:20Z") == pytest.approx(4.9 * 0.3048, abs=0.001)


def test_a_series(tmp_path: Path) -> None:
    lines = [f"2027-05-14T{h:02d}:00Z,{0.1 * h:.1f}" for h in range(12)]
    text = "time,height_m\n" + "\n".join(lines) + "\n"
    tide = read(tmp_path, HEAD + '[[station]]\nseries = "s.csv"\n', s_csv=text)
    assert height_m(tide, "2027-05-14T05:30Z") == pytest.approx(0.55)


def test_constituents_inline_and_from_a_file_are_one(tmp_path: Path) -> None:
    inline = read(tmp_path, HEAD + f'[[station]]\nmean_level = "2.1 m"\nconstituents = {M2}\n')
    file = read(
        tmp_path,
        HEAD + '[[station]]\nmean_level = "2.1 m"\nconstituents = "c.csv"\n',
        c_csv="name,amplitude_cm,phase_deg,speed_deg_per_h\nM2,120,134.2,28.9841\n",
    )
    for hour in range(0, 24, 5):
        when = f"2027-05-14T{hour:02d}:00Z"
        assert height_m(inline, when) == pytest.approx(height_m(file, when), abs=1e-12)
        assert 0.85 <= height_m(inline, when) <= 3.36


def test_phases_in_a_zones_time_and_local(tmp_path: Path) -> None:
    """A lag in UTC+1 is one hour of the constituent's speed larger than on Greenwich (Schureman,
    paragraph 226: g = kappa + p L, L the west longitude)."""
    text = HEAD + '[[station]]\nmean_level = "2 m"\nconstituents = {}\n{}'
    greenwich = read(tmp_path, text.format(M2, ""))
    zone = read(tmp_path, text.format(M2.replace("134.2", "163.1841042"), 'phases = "+01:00"\n'))
    local = read(
        tmp_path,
        text.format(M2.replace("134.2", "154.2"), 'phases = "local"\nlon = 10\nlat = 54\n'),
    )
    when = "2027-05-14T09:00Z"
    assert height_m(zone, when) == pytest.approx(height_m(greenwich, when), abs=1e-6)
    assert height_m(local, when) == pytest.approx(height_m(greenwich, when), abs=1e-6)


def test_vlissingen_through_the_reader(real_data: Path, tmp_path: Path) -> None:
    """Rijkswaterstaat, 2019: 94 constants in UTC+1 from a CSV, the year's 52,560 heights within
    1 cm (root mean square), and its high and low waters within three minutes and 3 cm."""
    folder = real_data / "tides_rws_hatyan"
    lines = ["name,amplitude_cm,phase_deg,speed_deg_per_h"]
    for line in (folder / "VLISSGN_ana.txt").read_text(encoding="latin-1").splitlines():
        if line.startswith("COMP"):
            _, _, speed, amplitude, phase, name = line.split()
            lines.append(f"{name},{amplitude},{phase},{speed}")
    tide = read(
        tmp_path,
        'datum = "NAP"\nuncertainty = "0.1 m"\n[[station]]\nname = "Vlissingen"\n'
        'mean_level = "1 cm"\nconstituents = "c.csv"\nphases = "+01:00"\n'
        'node_factors = "mid-year"\n',
        c_csv="\n".join(lines) + "\n",
    )
    source = tide.stations[0].source
    text = (folder / "VLISSGN_pre.txt").read_text(encoding="latin-1").partition("[WRD]")[2]
    published_m = np.array([int(v) for v in re.findall(r"(-?\d+)/0", text)]) / 100.0
    time_s = at("2019-01-01T00:00+01:00") + 600.0 * np.arange(52_560)
    off_m = source.height_m(time_s) - published_m
    assert float(np.sqrt(np.mean(off_m**2))) < 0.01
    extremes = (folder / "VLISSGN_ext.txt").read_text(encoding="latin-1").partition("[WRD]")[2]
    found = re.findall(r"(\d{4})(\d\d)(\d\d);(\d\d)(\d\d);([12])/0;(-?\d+):", extremes)
    assert len(found) > 1300
    times = np.array([at(f"{y}-{m}-{d}T{h}:{n}+01:00") for y, m, d, h, n, _, _ in found])
    heights = np.array([int(v) / 100.0 for *_, v in found])
    high = np.array([kind == "1" for *_, kind, _ in found])
    # The highest or lowest within 40 minutes either way is the published one, where it is.
    best = np.where(
        high,
        source.highest_m(times - 2400.0, times + 2400.0),
        source.lowest_m(times - 2400.0, times + 2400.0),
    )
    assert float(np.abs(best - heights).max()) < 0.035
    near = np.where(
        high,
        source.highest_m(times - 360.0, times + 360.0),
        source.lowest_m(times - 360.0, times + 360.0),
    )
    assert float(np.mean(np.abs(best - near) < 0.001)) > 0.95


SECONDARY = HEAD + (
    '[[station]]\nname = "Port"\ntable = "t.csv"\nlon = 0\nlat = 50\n'
    '[[station]]\nname = "Creek"\nlon = 0.2\nlat = 50\nsecondary_to = "Port"\n'
)


def test_a_secondary_port_by_factors(tmp_path: Path) -> None:
    more = 'time_high = "0 min"\ntime_low = "2 min"\nheight_high = 0.95\nheight_low = 0.95\n'
    tide = read(tmp_path, SECONDARY + more, t_csv=TABLE)
    assert height_m(tide, "2027-05-14T07:20Z", 1) == pytest.approx(0.95 * 4.9, abs=0.001)
    assert height_m(tide, "2027-05-14T13:37Z", 1) == pytest.approx(0.95 * 0.9, abs=0.001)


def test_a_secondary_port_by_differences_that_change(tmp_path: Path) -> None:
    """Littleport on Mainhaven-on-Sea (corvidia.net): +35 min at 0000 and 1200, +23 at 0600 and
    1800, so +29 at 0300 and 0900; +1.1 m at 4.2 m, +0.8 m at 3.4 m."""
    more = (
        'time_high = [{ at = "00:00Z", add = "35 min" }, { at = "06:00Z", add = "23 min" },\n'
        '             { at = "12:00Z", add = "35 min" }, { at = "18:00Z", add = "23 min" }]\n'
        'height_high = [{ at = "4.2 m", add = "1.1 m" }, { at = "3.4 m", add = "0.8 m" }]\n'
        'height_low = "0.1 m"\n'
    )
    table = TABLE.replace("07:20Z,4.9", "09:00Z,4.2").replace("19:50Z,4.6", "18:00Z,3.4")
    tide = read(tmp_path, SECONDARY + more, t_csv=table)
    assert height_m(tide, "2027-05-14T09:29Z", 1) == pytest.approx(5.3, abs=0.001)
    assert height_m(tide, "2027-05-14T18:23Z", 1) == pytest.approx(4.2, abs=0.001)
    assert height_m(tide, "2027-05-14T13:35Z", 1) == pytest.approx(1.0, abs=0.001)


def test_a_secondary_port_of_harmonic_constants(tmp_path: Path) -> None:
    text = (
        HEAD + f'[[station]]\nname = "Port"\nlon = 0\nlat = 50\nmean_level = "2 m"\n'
        f"constituents = {M2}\n"
        '[[station]]\nname = "Creek"\nlon = 0.2\nlat = 50\nsecondary_to = "Port"\n'
        'time_high = "30 min"\ntime_low = "30 min"\nheight_high = 1\nheight_low = 1\n'
    )
    tide = read(tmp_path, text)
    for hour in range(0, 24, 7):
        there = height_m(tide, f"2027-05-14T{hour:02d}:30Z", 1)
        # One constituent is a cosine all but for its node factor.
        assert there == pytest.approx(height_m(tide, f"2027-05-14T{hour:02d}:00Z"), abs=0.003)


@pytest.mark.parametrize(
    "more",
    ['height_low = "5 m"', "height_low = 4", 'height_high = "-3 m"', "height_high = 0.2"],
)
def test_a_secondary_port_of_constants_upside_down(tmp_path: Path, more: str) -> None:
    """Found 2026-11-25: differences that put low water above high water were refused on a table,
    and on harmonic constants taken for a tide that never ebbs."""
    text = (
        HEAD + f'[[station]]\nname = "Port"\nlon = 0\nlat = 50\nmean_level = "2 m"\n'
        f"constituents = {M2}\n"
        '[[station]]\nname = "Creek"\nlon = 0.2\nlat = 50\nsecondary_to = "Port"\n'
    )
    with pytest.raises(BadInput, match="a low water above a high water"):
        read(tmp_path, text + more)
    assert read(tmp_path, text + 'height_low = "0.3 m"\nheight_high = 0.9').stations[1]


def test_surge_pressure_and_levels(tmp_path: Path) -> None:
    """About a centimetre for a hectopascal (common practice): 1033 hPa lowers the water 0.20 m."""
    text = HEAD + '[[station]]\nconstant = "1 m"\nlevels = { MHWS = "4.1 m", MLLW = "0.2 m" }\n'
    tide = read(
        tmp_path, 'surge_down = "0.3 m"\nsurge_up = "0.5 m"\npressure = "1033 hPa"\n' + text
    )
    assert tide.surge_down_m == pytest.approx(0.5)
    assert tide.surge_up_m == pytest.approx(0.5)
    assert tide.stations[0].levels_m == {"MHWS": 4.1, "MLLW": 0.2}
    assert read(tmp_path, 'pressure = "1003 hPa"\n' + text).surge_up_m == pytest.approx(0.1)


STATION = HEAD + "[[station]]\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (STATION + 'table = "t.csv"\nconstant = "1 m"', "it has both constant and table"),
        (STATION + 'constant = "1 m"\nmean_level = "2 m"', "mean_level: it does not go with const"),
        (STATION + f"constituents = {M2}", "constituents need the mean level above datum"),
        (
            STATION + 'mean_level = "2 m"\nconstituents = ' + M2.replace("M2", "Q9"),
            "[[constituents]] 1: [[station]] 1: constituent 'Q9' is not known",
        ),
        (
            STATION + 'mean_level = "2 m"\nconstituents = ' + M2.replace("1.2 m", "120 m"),
            "look at the unit: centimetres?",
        ),
        (
            STATION + 'mean_level = "2 m"\nconstituents = [' + (M2[1:-1] + ", ") * 2 + "]",
            "M2 stands twice",
        ),
        (
            STATION + f'mean_level = "2 m"\nconstituents = {M2}\nphases = "MEZ"',
            "phases: 'MEZ' is no zone",
        ),
        (
            STATION + f'mean_level = "2 m"\nconstituents = {M2}\nphases = "local"',
            "local phases need the station's longitude",
        ),
        (
            STATION + f'mean_level = "2 m"\nconstituents = {M2}\nnode_factors = "no"',
            "'no' is neither daily nor mid-year",
        ),
        (STATION + 'secondary_to = "station 1"', "'station 1' is a secondary port itself"),
        (STATION + 'secondary_to = "x"\ntable = "t.csv"', "table: it does not go with secondary"),
        (STATION + 'constant = "300 m"', "constant: '300 m' is more than 20 m"),
        ('pressure = "1033"\n' + STATION + 'constant = "1 m"', "is not a pressure"),
        ('pressure = "33 hPa"\n' + STATION + 'constant = "1 m"', "not the pressure of any"),
        (
            STATION + 'constant = "1 m"\nlevels = { MLLW = "1 m", mllw = "0 m" }',
            "levels: MLLW stands there twice, at two levels",
        ),
        (
            STATION + 'constant = "1 m"\nlevels = { LAT = "0.4 m" }',
            "levels: LAT stands 0.4 m above itself",
        ),
        (
            STATION + 'constant = "1 m"\nlevels = { Foo = "1 m" }',
            "levels: datum 'Foo' is not known",
        ),
        (SECONDARY + 'time_high = "13 h"', "more than 12 hours"),
        (SECONDARY + 'time_high = [{ at = "06:00", add = "1 min" }]', "not a time of day with"),
        (SECONDARY + 'time_high = [{ add = "1 min" }]', "is made of { at = …, add = … }"),
        (SECONDARY + "height_high = 0", "0 is no factor of heights"),
        (SECONDARY + 'time_high = "8 h"', "in the wrong order"),
        (SECONDARY + 'height_low = "5 m"', "a low water above a high water"),
    ],
)
def test_bad_stations_are_told_in_one_line(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, text, t_csv=TABLE)
    line = str(caught.value)
    assert said in line
    assert "\n" not in line
    assert line.startswith(str(tmp_path))


VALUES = st.sampled_from(
    ['"1 m"', "1", "nan", "[]", "{}", '"x"', "true", '"30 min"', "[1]", '[{at="06:00Z",add="1 h"}]',
     '"t.csv"', '"Greenwich"', '[{name="M2",amplitude="1 m",phase_deg=3}]', "[[]]", '"+01:00"']
)  # fmt: skip
KEYS = st.sampled_from(
    ["constant", "table", "series", "constituents", "mean_level", "phases", "secondary_to",
     "time_high", "height_low", "levels", "lon", "lat", "name", "node_factors", "variable"]
)  # fmt: skip


@given(st.dictionaries(KEYS, VALUES, max_size=5))
def test_no_station_raises_anything_but_bad_input(
    tmp_path_factory: pytest.TempPathFactory, values: dict[str, str]
) -> None:
    folder = tmp_path_factory.mktemp("tide")
    text = STATION + "\n".join(f"{key} = {value}" for key, value in values.items())
    try:
        made = read(folder, text, t_csv=TABLE)
    except BadInput as error:
        assert "\n" not in str(error)
        return
    assert made.stations
