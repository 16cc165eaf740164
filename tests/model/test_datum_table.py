"""The table of datums in the documents is what the code does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from routecheck.model.datum import MSL, VERDAT, above_lat, datum_named, stands_below_tides

DOC = Path(__file__).resolve().parents[2] / "docs" / "data-formats.md"


def rows() -> list[tuple[str, str, str, str]]:
    part = (
        DOC.read_text(encoding="utf-8").partition("### Vertical datums")[2].partition("\n### ")[0]
    )
    cells = [re.split(r"\s*\|\s*", line.strip("| ")) for line in part.splitlines() if "|" in line]
    return [(c[0], c[1], c[2], c[3]) for c in cells[2:] if len(c) == 4]


def test_every_code_stands_in_the_table() -> None:
    codes = {int(code): name for name, said, *_ in rows() for code in re.findall(r"\d+", said)}
    assert codes == VERDAT


@pytest.mark.parametrize(("name", "_codes", "clears", "below"), rows()[:-1])
def test_what_the_table_says_of_a_datum_is_so(
    name: str, _codes: str, clears: str, below: str
) -> None:
    assert datum_named(name) == name
    assert stands_below_tides(name) is (clears == "yes")
    assert (clears == "with `datum_below_msl`") is (name == MSL)
    if clears == "yes":
        assert above_lat(name) is (below == "yes")


def test_high_waters_and_levelling_datums_clear_nothing() -> None:
    # IHO S-57 ed. 3.1, VERDAT: the high-water datums; NAVD88, NAP and ODN are near mean sea level.
    for name in ("MHW", "MHWS", "MHHW", "HAT", "high water", "NAVD88", "NAP", "ODN", "unknown"):
        assert not stands_below_tides(name)
