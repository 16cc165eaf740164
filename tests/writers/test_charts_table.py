"""The table of what charts hold."""

from __future__ import annotations

import json
from dataclasses import replace

import jsonschema
import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from routecheck.model.chart import Chart, ChartSet, Problem, Severity, Unread
from routecheck.model.finding import CAUTION
from routecheck.model.objects import QualityZone, UnknownObject
from routecheck.model.source import Source
from routecheck.writers.charts_table import charts_schema, to_charts_json, to_charts_table
from routecheck.writers.wording.names import columns
from tests.writers import reports


class FlatGrid:
    """A grid whose blocks are never asked for here."""

    source: Source = reports.GRID
    rows, columns, reach = 20, 30, 1.0
    block_rows = block_columns = 256
    wraps_columns = 0
    problems = (Problem(source="survey.tif", text="no datum in the file", severity=Severity.NOTE),)

    def bounds_deg(self) -> tuple[float, float, float, float]:
        return 179.5, -18.0, 180.5, -17.0

    def block(
        self, block_row: int, block_column: int
    ) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
        raise AssertionError("a table of charts decodes no grid")

    def to_cell(self, lon_deg: object, lat_deg: object) -> tuple[object, object]:
        raise AssertionError

    to_position = to_cell


def chart_set(source: Source = reports.CELL) -> ChartSet:
    here = shapely.box(10.0, 50.0, 10.1, 50.1)
    base = reports.charts().charts[0]
    chart = replace(
        base,
        source=source,
        quality_zones=(
            QualityZone(key="q1", cls="M_QUAL", source="s", geometry=here, catzoc=3),
            QualityZone(key="q2", cls="M_QUAL", source="s", geometry=here, catzoc=None),
        ),
        unknown=(UnknownObject(key="u", cls="XYZABC", source="s", geometry=here, why="unknown"),),
        harmless={"CTNARE": 2},
        problems=(Problem(source=source.id, text="an update failed"),),
    )
    return ChartSet(
        charts=(chart, Chart(source=replace(reports.CELL, id="empty.000", datum="unknown"))),
        grids=(FlatGrid(),),  # type: ignore[arg-type]
        unread=(
            Unread(file="z/old.bin", why="no reader takes this format"),
            Unread(file="a/notes.txt", why="a text", looks_like_chart=False),
        ),
    )


@pytest.mark.parametrize("width", [80, 100])
@pytest.mark.parametrize("units", ["metric", "feet"])
def test_table_fits(width: int, units: str) -> None:
    for line in to_charts_table(chart_set(), units=units, width=width).splitlines():
        assert columns(line) <= width, line


def test_table_tells_what_there_is_and_what_is_missing() -> None:
    flat = " ".join(to_charts_table(chart_set()).split())
    for text in (
        "2 vector, 1 grid, 1 left unread",
        "1:22,000",
        "LAT (from DSID)",
        "edition 3, 2 updates, issued 2026-02-01",
        "CATZOC B in 1, CATZOC U (unassessed) in 1",
        "not judged XYZABC 1",
        "harmless CTNARE 2",
        "problem not-assessed: an update failed",
        "20 rows, 30 columns of nodes",
        "surveyed 2019",
        "unknown: depths from it may condemn, never clear",
        "z/old.bin: no reader takes this format",
        "Other files, passed over a/notes.txt: a text",
        CAUTION,
    ):
        assert text in flat, text


def test_hostile_names_cannot_steer_the_terminal() -> None:
    bad = "".join(reports.HOSTILE)
    text = to_charts_table(chart_set(replace(reports.CELL, id=bad, file=bad, edition=bad)))
    assert all(c == "\n" or c.isprintable() for c in text)
    assert all(columns(line) <= 80 for line in text.splitlines())


def test_json_tells_the_same() -> None:
    whole = json.loads(to_charts_json(chart_set()))
    assert whole["caution"] == CAUTION
    cell, empty, grid = whole["sources"]
    assert cell["objects"]["LNDARE"] == 2
    assert cell["not_judged"] == {"XYZABC": 1}
    assert cell["catzoc"] == {"3": 1, "not stated": 1}
    assert cell["problems"][0]["severity"] == "not-assessed"
    assert empty["bounds"] is None
    # East of the antimeridian: west is greater than east, as in RFC 7946, 5.2.
    assert grid["bounds"] == [179.5, -18.0, -179.5, -17.0]
    assert grid["registered"] == "node"
    assert [u["file"] for u in whole["unread"]] == ["a/notes.txt", "z/old.bin"]


def test_no_charts_at_all() -> None:
    assert "0 vector, 0 grid, 0 left unread" in to_charts_table(ChartSet())
    assert json.loads(to_charts_json(ChartSet()))["sources"] == []


def test_json_keeps_to_its_schema() -> None:
    validator = jsonschema.Draft202012Validator(charts_schema())
    for charts in (chart_set(), ChartSet()):
        validator.validate(json.loads(to_charts_json(charts)))
    assert [s["depth_unit"] for s in json.loads(to_charts_json(chart_set()))["sources"]] == [""] * 3
