"""`routecheck window` as a person meets it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from routecheck.cli import main

FROM, TO = "2027-05-19T00:00Z", "2027-05-19T12:00Z"


def run(root: Path, out: Path | None, *more: str, **changes: str) -> Result:
    folder = root / "sample_charts"
    facts: dict[str, Any] = {
        "--charts": folder / "bar-harbour",
        "--boat": folder / "boat.toml",
        "--tide": folder / "bar-harbour/tide.toml",
        "--from": FROM,
        "--to": TO,
        **{f"--{key.replace('_', '-').strip('-')}": value for key, value in changes.items()},
    }
    words = ["window", str(folder / "bar-harbour/into-the-haven.gpx")]
    for key, value in facts.items():
        words += [key, str(value)] if value else []
    if out is not None:
        words += ["--out", str(out)]
    return CliRunner().invoke(main, [*words, *more])


def test_writes_three_files_and_a_table(root: Path, tmp_path: Path) -> None:
    made = run(root, tmp_path)
    assert made.exit_code == 0, made.output
    assert "opens" in made.output
    folder = tmp_path / "Into-the-haven"
    assert sorted(p.name for p in folder.iterdir()) == [
        "windows.html",
        "windows.ics",
        "windows.json",
    ]
    record = json.loads((folder / "windows.json").read_text())
    assert record["from"] == "2027-05-19T00:00:00Z"
    assert record["step_s"] == 600.0


def test_files_of_vet_stay(root: Path, tmp_path: Path) -> None:
    folder = tmp_path / "Into-the-haven"
    folder.mkdir()
    (folder / "findings.json").write_text("{}")
    (folder / "windows.json").write_text("old")
    assert run(root, tmp_path).exit_code == 0
    assert (folder / "findings.json").read_text() == "{}"
    assert json.loads((folder / "windows.json").read_text())["schema"] == 1


def test_json_prints_and_writes_nothing(root: Path, tmp_path: Path) -> None:
    made = run(root, None, "--json")
    assert made.exit_code == 0
    assert json.loads(made.output)["schema"] == 1
    assert list(tmp_path.iterdir()) == []


def test_step_and_zone(root: Path, tmp_path: Path) -> None:
    made = run(root, tmp_path, step="1 h", zone="-08:00")
    assert "13 judged" in " ".join(made.output.split())
    assert "2027-05-18 16:00 -08:00" in made.output


def test_nothing_open_is_one(root: Path, tmp_path: Path) -> None:
    made = run(root, tmp_path, from_="2027-05-19T05:00Z", to="2027-05-19T06:00Z")
    assert made.exit_code == 1
    assert "No departure is open." in made.output


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"from_": "2027-05-19T00:00"}, "has no time zone"),
        ({"from_": "soon"}, "is not a time"),
        ({"to": "2027-05-18T00:00Z"}, "the last departure is before the first"),
        ({"step": "0 min"}, "not from a second to 30 days"),
        ({"step": "10"}, "has no unit"),
        ({"step": "1 s", "to": "2027-06-19T00:00Z"}, "are more than 50000"),
        ({"step": "10 days", "to": "2038-06-19T00:00Z"}, "lie more than 400 days apart"),
        ({"to": "9999-06-19T00:00Z"}, "the year 9999 is not from 1900 to 2199"),
        ({"zone": "CET"}, "is no zone"),
        ({"tide": "none.toml"}, "there is no such file"),
        ({"charts": "nowhere"}, "nowhere"),
    ],
)
def test_bad_usage_is_two(root: Path, tmp_path: Path, changes: dict[str, str], said: str) -> None:
    made = run(root, tmp_path, **changes)
    assert made.exit_code == 2
    assert said in " ".join(made.output.split())
    assert list(tmp_path.iterdir()) == []
