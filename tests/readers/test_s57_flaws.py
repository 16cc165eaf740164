"""IHO S-58 test cells, flawed on purpose: each is read with its flaws told, or refused in a line.

Which cells there are and what is wrong with them: the IHO S-58 validation test data sets.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from routecheck.model.chart import Chart, Severity
from routecheck.model.errors import BadInput
from routecheck.readers.s57 import read_cell

TOLD = {
    "AA400001": "a ring of it is not closed",
    "AA400004": "the cell says that it has 40 objects and has 39",
    "AA400010": "an update was not applied as a whole; GDAL: An update to RCNM=100,RCID=10 failed",
    "AA500006": "it has no place and was left out",
    "AA500007": "an update was not applied as a whole; GDAL: An update to RCNM=130,RCID=26 failed",
    "AA500016": "Polygon assembly has failed for feature FIDN=440509764,FIDS=194",
    "AA3MSPAN": "goes more than half round the earth",
}


def read(real_data: Path, name: str) -> Chart:
    return read_cell(real_data / "s57_s58" / name / f"{name}.000")


def test_every_cell_is_read_or_refused_in_one_line(real_data: Path) -> None:
    folders = sorted((real_data / "s57_s58").iterdir())
    assert len(folders) == 12
    for folder in folders:
        try:
            chart = read_cell(folder / f"{folder.name}.000")
        except BadInput as error:
            assert "\n" not in str(error)
            assert folder.name in str(error)
        else:
            assert sum(chart.counts.values()) > 0
            assert all(problem.text and "\n" not in problem.text for problem in chart.problems)


@pytest.mark.parametrize("name", TOLD)
def test_flaws_are_told_and_bar_a_verdict(real_data: Path, name: str) -> None:
    found = [p for p in read(real_data, name).problems if TOLD[name] in p.text]
    assert found
    assert all(problem.severity is Severity.NOT_ASSESSED for problem in found)


def test_an_unclosed_ring_loses_neither_its_layer_nor_itself(real_data: Path) -> None:
    chart = read(real_data, "AA500016")
    assert chart.counts["DEPARE"] == len(chart.depth_areas) == 4
    told = [p for p in chart.problems if "DEPARE" in p.text]
    assert len(told) == 2
    for problem in told:
        assert problem.bounds is not None
        west, south, east, north = problem.bounds
        assert 61.0 < west < east < 61.3
        assert -32.6 < south < north < -32.4


def test_a_cell_in_feet_on_no_datum(real_data: Path) -> None:
    # DUNI 3 is feet: 0.3048 m, NIST SP 811 (2008), Appendix B.8
    chart = read(real_data, "AA400003")
    assert chart.source.datum == "unknown"
    assert any("no sounding datum" in problem.text for problem in chart.problems)
    depths = {area.charted_depth_m for area in chart.depth_areas} - {None}
    assert len(depths) > 3
    assert all(abs(d / 0.3048 - round(d / 0.3048, 1)) < 1e-9 for d in depths if d is not None)


def test_an_update_called_a_base_cell_is_refused(real_data: Path) -> None:
    with pytest.raises(BadInput, match=r"bug1526\.000: this is update 7 of a cell"):
        read_cell(real_data / "s57_gdal_autotest" / "bug1526.000")


def test_an_s101_cell_is_not_taken_for_one_of_s57(real_data: Path) -> None:
    with pytest.raises(BadInput, match=r"this is S-101, no S-57 cell"):
        read_cell(real_data / "s101_fr_treguier" / "101FR0067126A.000")
