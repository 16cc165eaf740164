"""SOUACC, POSACC and QUASOU where they are given: from an S-57 cell to the report.

IHO S-57 edition 3.1, appendix A: SOUACC 144, POSACC 401, QUASOU 125, CATZOC 72 (B: 1 m + 2 % of
the depth, positions within 50 m). What is stated counts where it is worse than the category's.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.readers.s57 import read_cell
from tests.s57_writer import Cell
from tests.test_areas_proof import DANGER, GEOD, HALF_M, report

LAT, LON = 54.0, 10.05
SEA = shapely.box(9.9, 53.9, 10.2, 54.1)
CAUTION = Severity.CAUTION


def told(
    folder: Path,
    *,
    zone: dict[str, Any] | None = None,
    area: dict[str, Any] | None = None,
    depth_m: float = 5.0,
    also: tuple[str, Any, dict[str, Any]] | None = None,
) -> list[Finding]:
    """Findings of a leg through one depth area; the boat needs 3 m."""
    cell = Cell(scale=20_000)
    cell.add("M_COVR", SEA, CATCOV=1)
    cell.add("M_QUAL", SEA, **(zone if zone is not None else {"CATZOC": 3}))
    cell.add("DEPARE", SEA, DRVAL1=depth_m, DRVAL2=60, **(area or {}))
    if also is not None:
        cell.add(also[0], also[1], **also[2])
    return list(report(read_cell(cell.write(folder)), LAT).findings)


def of(check: str, findings: list[Finding]) -> list[Finding]:
    return [f for f in findings if f.check == check]


def test_nothing_stated(tmp_path: Path) -> None:
    assert told(tmp_path) == []  # margin 2 m, uncertainty 1.1 m


@pytest.mark.parametrize("where", ["zone", "area"])
def test_a_worse_accuracy_of_soundings_counts(tmp_path: Path, where: str) -> None:
    stated = (
        {"zone": {"CATZOC": 3, "SOUACC": 2.5}} if where == "zone" else {"area": {"SOUACC": 2.5}}
    )
    (one,) = told(tmp_path, **stated)  # type: ignore[arg-type]
    assert (one.check, one.severity) == ("too-little-water", CAUTION)
    assert one.sums["uncertainty_m"] == pytest.approx(2.5)
    assert "SOUACC 2.5 m" in one.rests_on


@pytest.mark.parametrize("where", ["zone", "area"])
def test_a_better_one_does_not(tmp_path: Path, where: str) -> None:
    # The zone's 1.06 m stand against a margin of 1 m, whatever the object claims.
    better = {"CATZOC": 3, "SOUACC": 0.1} if where == "zone" else {"CATZOC": 3}
    area = {"SOUACC": 0.1} if where == "area" else {}
    (one,) = told(tmp_path, zone=better, area=area, depth_m=4.0)
    assert one.sums["uncertainty_m"] == pytest.approx(1.08)  # 1 m + 2 % of 4 m


def test_without_a_category_the_stated_figures_hold_alone(tmp_path: Path) -> None:
    assert told(tmp_path, zone={"SOUACC": 1.0, "POSACC": 20}) == []
    (one,) = told(tmp_path, zone={"SOUACC": 2.5, "POSACC": 20})
    assert one.check == "too-little-water"


@pytest.mark.parametrize("catzoc", [5, 6])
def test_no_figure_makes_an_unassessed_zone_a_known_one(tmp_path: Path, catzoc: int) -> None:
    found = told(tmp_path, zone={"CATZOC": catzoc, "SOUACC": 0.3, "POSACC": 5})
    assert [f.check for f in found] == ["unknown-quality"]
    found = told(tmp_path, zone={"CATZOC": catzoc, "SOUACC": 2.5})
    assert sorted(f.check for f in found) == ["too-little-water", "unknown-quality"]


@pytest.mark.parametrize(("posacc", "found"), [(None, 0), (30, 0), (150, 1), (900, 1)])
def test_the_position_belt(tmp_path: Path, posacc: float | None, found: int) -> None:
    # 60 m outside the corridor: beyond zone B's 50 m.
    for number, off_m in enumerate((60.0, 880.0)):
        lat = GEOD.fwd(LON, LAT, 180.0, HALF_M + off_m)[1]
        zone = {"CATZOC": 3} | ({} if posacc is None else {"POSACC": posacc})
        folder = tmp_path / str(number)
        folder.mkdir()
        rock = ("UWTROC", shapely.Point(LON, lat), {"VALSOU": 1.0, "WATLEV": 3})
        dangers = of("underwater-danger", told(folder, zone=zone, also=rock))
        near = found if off_m == 60.0 else int(posacc == 900)
        assert [f.severity for f in dangers] == [CAUTION] * near


def test_soundings_and_dangers_state_their_own(tmp_path: Path) -> None:
    spot = [(LON, LAT, 5.0)]
    found = told(tmp_path, depth_m=20.0, also=("SOUNDG", spot, {"SOUACC": 3.0}))
    assert [(f.check, f.severity) for f in found] == [("too-little-water", CAUTION)]
    wreck = ("WRECKS", shapely.Point(LON, LAT), {"VALSOU": 5.0, "CATWRK": 2, "SOUACC": 3.0})
    found = told(tmp_path, depth_m=20.0, also=wreck)
    assert [(f.check, f.severity) for f in found] == [("underwater-danger", CAUTION)]


@pytest.mark.parametrize("code", [2, 3, 4, 8, 9, 11])
def test_an_area_whose_depth_is_not_to_be_trusted(tmp_path: Path, code: int) -> None:
    # 2 unknown, 3 doubtful, 4 unreliable, 8 and 9 reported, 11 not regularly maintained.
    found = told(tmp_path, area={"QUASOU": str(code)}, depth_m=20.0)
    assert [(f.check, f.severity) for f in found] == [("unknown-quality", CAUTION)]
    assert "QUASOU" in found[0].title
    found = told(tmp_path, area={"QUASOU": str(code)}, depth_m=2.0)
    assert DANGER in {f.severity for f in found}


@pytest.mark.parametrize("code", [1, 6, 7, 10])
def test_an_area_whose_depth_is_known(tmp_path: Path, code: int) -> None:
    assert told(tmp_path, area={"QUASOU": str(code)}, depth_m=20.0) == []
