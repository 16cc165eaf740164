"""The command line as a person meets it: exit codes, one line for bad input, whole outputs."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

GPX = """<?xml version="1.0"?>
<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">
<rte><name>{name}</name>{points}</rte></gpx>"""


def gpx(points: list[tuple[str, str]], name: str = "test") -> str:
    inside = "".join(f'<rtept lat="{lat}" lon="{lon}"/>' for lat, lon in points)
    return GPX.format(name=name, points=inside)


def run(
    *words: object, cwd: Path | None = None, **environment: str
) -> subprocess.CompletedProcess[str]:
    import os

    return subprocess.run(
        [sys.executable, "-m", "routecheck.cli", *map(str, words)],
        capture_output=True,
        text=True,
        cwd=cwd,
        env={**os.environ, **environment, "PYTHONPATH": str(Path(__file__).parent.parent)},
        timeout=120,
        check=False,
    )


@pytest.fixture
def samples(root: Path) -> Path:
    return root / "sample_charts"


def vet_words(samples: Path, route: Path, **changes: object) -> list[object]:
    facts: dict[str, object] = {
        "--charts": samples / "charts",
        "--boat": samples / "boat.toml",
        "--tide": samples / "tide.toml",
        **changes,
    }
    return ["vet", route, *(word for pair in facts.items() for word in pair)]


@pytest.mark.parametrize(
    ("name", "code", "verdict"),
    [
        ("clean", 0, ("no hazard found", "cautions")),
        ("over-a-shoal", 1, ("hazards",)),
        ("wrong-side", 1, ("hazards",)),
        ("off-the-chart", 3, ("incomplete",)),
    ],
)
def test_sample_routes_end_as_their_names_say(
    samples: Path, name: str, code: int, verdict: tuple[str, ...]
) -> None:
    done = run(*vet_words(samples, samples / "routes" / f"{name}.gpx"), "--json")
    assert done.stderr == ""
    found = json.loads(done.stdout)
    assert found["verdict"] in verdict
    assert done.returncode == code
    assert "no substitute" in found["caution"]


def test_marks_left_on_the_wrong_side_are_right_in_the_other_region(samples: Path) -> None:
    # The marks state colours, not hands: the region decides (IALA R1001, lateral marks).
    route = samples / "routes" / "wrong-side.gpx"
    by_region = {}
    for region in ("A", "B"):
        done = run(*vet_words(samples, route, **{"--region": region}), "--json")
        marks = json.loads(done.stdout)["marks"]
        by_region[region] = {m["name"]: m["side_required"] for m in marks if m["side_required"]}
    shared = by_region["A"].keys() & by_region["B"].keys()
    assert shared
    for name in shared:
        assert {by_region["A"][name], by_region["B"][name]} == {"port", "starboard"}


def test_the_same_input_gives_the_same_bytes(samples: Path) -> None:
    words = vet_words(samples, samples / "routes" / "over-a-shoal.gpx")
    assert run(*words, "--json").stdout == run(*words, "--json").stdout


def test_all_outputs_are_written_and_told(samples: Path, tmp_path: Path) -> None:
    done = run(
        *vet_words(samples, samples / "routes" / "over-a-shoal.gpx"), "--out", tmp_path / "o"
    )
    (folder,) = (tmp_path / "o").iterdir()
    assert sorted(p.name for p in folder.iterdir()) == [
        "brief.html", "findings.csv", "findings.geojson", "findings.json", "map.html",
    ]  # fmt: skip
    assert str(folder) in done.stdout
    assert "no substitute" in " ".join(done.stdout.split())
    assert all(len(line) <= 80 for line in done.stdout.splitlines() if "Written" not in line)


def test_json_writes_no_file_without_out(samples: Path, tmp_path: Path) -> None:
    words = vet_words(samples, samples / "routes" / "clean.gpx")
    run(*words, "--json", cwd=tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_several_routes_get_a_folder_each_and_the_worst_exit_code(
    samples: Path, tmp_path: Path
) -> None:
    routes = [samples / "routes" / f"{n}.gpx" for n in ("clean", "over-a-shoal", "off-the-chart")]
    words = vet_words(samples, routes[0])
    done = run(words[0], *routes, *words[2:], "--out", tmp_path / "o")
    assert done.returncode == 1
    assert len(list((tmp_path / "o").iterdir())) == 3


def test_units_never_change_the_json(samples: Path) -> None:
    words = vet_words(samples, samples / "routes" / "over-a-shoal.gpx")
    assert (
        run(*words, "--json", "--units", "feet").stdout
        == run(*words, "--json", "--units", "metric").stdout
    )


OPEN_WATER = [("-13.95", "-117.0"), ("-13.96", "-117.01")]
BOMB = """<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa">
<!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>
<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><rte><name>&c;</name>
<rtept lat="1" lon="1"/><rtept lat="2" lon="2"/></rte></gpx>"""
EXTERNAL = """<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/hostname">]>
<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><rte><name>&a;</name>
<rtept lat="1" lon="1"/><rtept lat="2" lon="2"/></rte></gpx>"""
BAD_ROUTES = {
    "entity bomb": BOMB,
    "external entity": EXTERNAL,
    "one waypoint": gpx(OPEN_WATER[:1]),
    "latitude 95": gpx([("95", "1"), *OPEN_WATER]),
    "latitude NaN": gpx([("NaN", "1"), *OPEN_WATER]),
    "empty": "",
    "cut in half": gpx(OPEN_WATER)[: len(gpx(OPEN_WATER)) // 2],
}


def refused(done: subprocess.CompletedProcess[str], out: Path, name: str) -> None:
    """One clear line that names the file, exit code 2, and outputs as they were."""
    assert done.returncode == 2, done.stdout + done.stderr
    assert done.stdout == ""
    lines = done.stderr.strip().splitlines()
    assert len(lines) == 1, done.stderr
    assert name in lines[0] and "Traceback" not in lines[0]
    assert [p.name for p in out.rglob("*")] == ["kept.txt"]


@pytest.fixture
def out(tmp_path: Path) -> Path:
    folder = tmp_path / "outputs"
    folder.mkdir()
    (folder / "kept.txt").write_text("from an earlier run", encoding="utf-8")
    return folder


@pytest.mark.parametrize("fault", BAD_ROUTES)
def test_a_bad_route_is_refused(samples: Path, tmp_path: Path, out: Path, fault: str) -> None:
    file = tmp_path / "bad.gpx"
    file.write_text(BAD_ROUTES[fault], encoding="utf-8")
    refused(run(*vet_words(samples, file), "--out", out), out, "bad.gpx")


BAD_BOATS = {
    "no draught": 'name = "x"\n',
    "negative draught": 'name = "x"\ndraught = "-1.9 m"\n',
    "draught in kilograms": 'name = "x"\ndraught = "1.9 kg"\n',
    "a bare number": 'name = "x"\ndraught = 1.9\n',
}


@pytest.mark.parametrize("fault", BAD_BOATS)
def test_a_bad_boat_is_refused(samples: Path, tmp_path: Path, out: Path, fault: str) -> None:
    file = tmp_path / "bad-boat.toml"
    file.write_text(BAD_BOATS[fault], encoding="utf-8")
    route = samples / "routes" / "clean.gpx"
    refused(run(*vet_words(samples, route, **{"--boat": file}), "--out", out), out, file.name)


def grid(path: Path, *, georeferenced: bool) -> Path:
    import rasterio
    from rasterio.transform import from_origin

    place = (
        {"crs": "EPSG:4326", "transform": from_origin(-117.1, -13.9, 0.001, 0.001)}
        if georeferenced
        else {}
    )
    with rasterio.open(
        path, "w", driver="GTiff", width=50, height=50, count=1, dtype="float32", **place
    ) as made:
        made.write(np.full((50, 50), 9.0, dtype="float32"), 1)
    return path


@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
def test_a_raster_without_georeference_is_refused(samples: Path, tmp_path: Path, out: Path) -> None:
    file = grid(tmp_path / "nowhere.tif", georeferenced=False)
    (tmp_path / "nowhere.tif.toml").write_text(
        'quantity = "depth"\nunit = "m"\ndatum = "LAT"\n', encoding="utf-8"
    )
    route = samples / "routes" / "clean.gpx"
    refused(run(*vet_words(samples, route, **{"--charts": file}), "--out", out), out, file.name)


@pytest.mark.parametrize("unit", ["furlong", "kg", ""])
def test_a_raster_in_an_unknown_unit_is_refused(
    samples: Path, tmp_path: Path, out: Path, unit: str
) -> None:
    file = grid(tmp_path / "odd.tif", georeferenced=True)
    (tmp_path / "odd.tif.toml").write_text(
        f'quantity = "depth"\nunit = "{unit}"\ndatum = "LAT"\n', encoding="utf-8"
    )
    route = samples / "routes" / "clean.gpx"
    refused(run(*vet_words(samples, route, **{"--charts": file}), "--out", out), out, "odd.tif")


def test_a_folder_with_nothing_readable_is_refused(
    samples: Path, tmp_path: Path, out: Path
) -> None:
    folder = tmp_path / "no-charts"
    folder.mkdir()
    (folder / "letter.txt").write_text("dear skipper", encoding="utf-8")
    route = samples / "routes" / "clean.gpx"
    refused(run(*vet_words(samples, route, **{"--charts": folder}), "--out", out), out, folder.name)


def test_a_file_that_is_not_there_is_refused(samples: Path, tmp_path: Path, out: Path) -> None:
    refused(run(*vet_words(samples, tmp_path / "gone.gpx"), "--out", out), out, "gone.gpx")


@pytest.mark.parametrize("when", ["2027-05-14T07:30", "yesterday"])
def test_a_naive_or_odd_departure_is_refused(samples: Path, out: Path, when: str) -> None:
    route = samples / "routes" / "clean.gpx"
    done = run(*vet_words(samples, route), "--depart", when, "--out", out)
    assert done.returncode == 2 and when in done.stderr
    assert [p.name for p in out.iterdir()] == ["kept.txt"]


def test_help_names_every_command_and_the_caution() -> None:
    done = run("--help")
    assert done.returncode == 0
    for command in ("vet", "charts", "checks", "demo"):
        assert command in done.stdout
    assert "no substitute" in " ".join(done.stdout.split())
    for later in ("screen", "serve"):
        assert later not in done.stdout


def test_checks_lists_and_explains() -> None:
    assert "too-little-water" in run("checks").stdout
    assert "charted depth" in run("checks", "too-little-water").stdout
    assert run("checks", "no-such-check").returncode == 2


def test_charts_lists_the_samples(samples: Path) -> None:
    done = run("charts", samples / "charts")
    assert done.returncode == 0 and "LAT" in done.stdout
    assert json.loads(run("charts", samples / "charts", "--json").stdout)


def test_charts_writes_a_map_beside_what_it_prints(samples: Path, tmp_path: Path) -> None:
    done = run("charts", samples / "charts", "--json", "--map", "--out", tmp_path)
    assert done.returncode == 0
    assert json.loads(done.stdout)
    assert "what the depths are worth" in (tmp_path / "charts" / "charts.html").read_text("utf-8")


def test_json_run_imports_neither_folium_nor_pandas(samples: Path) -> None:
    words = vet_words(samples, samples / "routes" / "clean.gpx")
    code = (
        "import sys; from routecheck.cli import main\n"
        f"sys.argv = ['routecheck', *{[str(w) for w in words]!r}, '--json']\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print('LOADED', [m for m in ('folium', 'geopandas', 'pandas') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=120, check=True
    )
    assert done.stdout.rstrip().endswith("LOADED []")


def test_explain_prints_the_reasoning_and_nothing_else(samples: Path, tmp_path: Path) -> None:
    words = vet_words(samples, samples / "routes" / "wrong-side.gpx")
    done = run(*words, "--explain", "dusk 5", cwd=tmp_path)
    assert done.returncode == 1 and done.stderr == ""  # the route's own verdict
    assert "starboard-hand mark Dusk 5" in done.stdout and "Outcome: wrong" in done.stdout
    assert "no substitute" in " ".join(done.stdout.split())
    assert list(tmp_path.iterdir()) == []


def test_explain_of_no_such_mark_is_one_line_with_the_nearest_names(samples: Path) -> None:
    words = vet_words(samples, samples / "routes" / "wrong-side.gpx")
    done = run(*words, "--explain", "Dusc 5")
    assert done.returncode == 2 and done.stdout == ""
    assert done.stderr.count("\n") == 1 and "'Dusk 5'" in done.stderr
    assert run(*words, "--explain", "1", "--json").returncode == 2
