"""One tide given as CSV, as NetCDF-4 and as S-104: the same report, end to end."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import h5py
import numpy as np
import pytest
from click.testing import CliRunner

from routecheck.cli import main

START = datetime(2027, 5, 19, 6, tzinfo=UTC)
MINUTES = 10.0 * np.arange(90.0)
LEVELS = np.round(2.05 + 1.7 * np.cos((MINUTES - 480.0) / 745.0 * 2.0 * np.pi), 3)
"""Low water 0.35 m and high water 3.75 m at 14:00, every ten minutes."""
LON, LAT = -116.7, -14.2


def csv(folder: Path) -> str:
    lines = [
        f"{datetime.fromtimestamp(START.timestamp() + 60.0 * m, UTC):%Y-%m-%dT%H:%MZ},{h}"
        for m, h in zip(MINUTES, LEVELS, strict=True)
    ]
    (folder / "levels.csv").write_text("time,height_m\n" + "\n".join(lines) + "\n")
    return 'series = "levels.csv"'


def netcdf(folder: Path) -> str:
    """As h5py writes it: a NetCDF-4 file is an HDF5 file with named dimensions."""
    with h5py.File(folder / "levels.nc", "w") as top:
        time = top.create_dataset("time", data=MINUTES)
        time.attrs["units"] = "minutes since 2027-05-19 06:00:00"
        time.make_scale("time")
        level = top.create_dataset("water_level", data=LEVELS * 100.0)
        level.attrs["units"] = "cm"
        level.dims[0].attach_scale(time)
    return 'series = "levels.nc"'


def s104(folder: Path, *, datum: int = 23) -> str:
    """A station by its time series (data coding format 8); vertical datum 23 is LAT."""
    record = np.dtype([("waterLevelHeight", "<f8"), ("waterLevelTrend", "u1")])
    text = h5py.string_dtype()
    with h5py.File(folder / "levels.h5", "w") as top:
        top.attrs["verticalCS"], top.attrs["verticalDatum"] = 6499, datum
        about = np.dtype([("code", text), ("uom.name", text), ("fillValue", text)])
        top["Group_F/WaterLevel"] = np.array(
            [("waterLevelHeight", "metres", "-9999.00"), ("waterLevelTrend", "", "0")], dtype=about
        )
        level = top.create_group("WaterLevel")
        level.attrs["dataCodingFormat"] = 8
        inner = level.create_group("WaterLevel.01")
        spots = [("longitude", "<f8"), ("latitude", "<f8")]
        inner["Positioning/geometryValues"] = np.array([(LON, LAT)], dtype=spots)
        group = inner.create_group("Group_001")
        group.attrs["startDateTime"], group.attrs["timeRecordInterval"] = "20270519T060000Z", 600
        values = np.zeros(len(LEVELS), dtype=record)
        values["waterLevelHeight"] = LEVELS
        group["values"] = values
    return 'series = "levels.h5"'


def vetted(root: Path, folder: Path, source: str, depart: str) -> dict[str, Any]:
    (folder / "tide.toml").write_text(
        f'datum = "LAT"\nuncertainty = "0.1 m"\n[[station]]\nname = "Haven"\n'
        f'lon = {LON}\nlat = {LAT}\nlevels = {{ MHWS = "3.72 m" }}\n{source}\n'
    )
    samples = root / "sample_charts"
    words = ["vet", str(samples / "bar-harbour/into-the-haven.gpx"), "--json"]
    words += ["--charts", str(samples / "bar-harbour"), "--boat", str(samples / "boat.toml")]
    words += ["--tide", str(folder / "tide.toml"), "--depart", depart]
    made = CliRunner().invoke(main, words)
    assert made.exit_code in (0, 1, 3), made.output
    found: dict[str, Any] = json.loads(made.output)
    return found


def kept(report: dict[str, Any]) -> Any:
    """What a report says, but for the names of the tide's files."""
    return [
        (f["key"], f["severity"], f["title"], f["sums"].get("margin_m")) for f in report["findings"]
    ], [leg["least_margin_m"] for leg in report["legs"]]


@pytest.mark.parametrize("depart", ["2027-05-19T12:00Z", "2027-05-19T18:00Z", "2027-05-19T20:45Z"])
def test_three_formats_are_one_tide(root: Path, tmp_path: Path, depart: str) -> None:
    reports = [vetted(root, tmp_path, make(tmp_path), depart) for make in (csv, netcdf, s104)]
    assert kept(reports[0]) == kept(reports[1]) == kept(reports[2])
    verdicts = {report["verdict"] for report in reports}
    # Before high water it passes, at half tide it grounds, and at 20:50 the series has ended.
    wanted = {"12": {"no hazard found", "cautions"}, "18": {"hazards"}, "20": {"hazards"}}
    assert verdicts <= wanted[depart[11:13]]
    says = " ".join(f["title"] for f in reports[2]["findings"])
    assert ("no height of tide is known for that time at Haven" in says) == (depart[11:13] == "20")


def test_an_s104_file_on_another_datum_is_refused(root: Path, tmp_path: Path) -> None:
    source = s104(tmp_path, datum=12)
    (tmp_path / "tide.toml").write_text(
        f'datum = "LAT"\nuncertainty = "0.1 m"\n[[station]]\nlon = {LON}\nlat = {LAT}\n{source}\n'
    )
    samples = root / "sample_charts"
    words = ["vet", str(samples / "bar-harbour/into-the-haven.gpx")]
    words += ["--charts", str(samples / "bar-harbour"), "--boat", str(samples / "boat.toml")]
    made = CliRunner().invoke(main, [*words, "--tide", str(tmp_path / "tide.toml")])
    assert made.exit_code == 2
    assert "its heights are above MLLW, not above LAT" in " ".join(made.output.split())
    assert len(made.output.strip().splitlines()) == 1
