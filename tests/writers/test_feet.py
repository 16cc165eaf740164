"""Feet wherever a person reads; nothing that programs read changes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from routecheck.writers.explanation import to_explanation
from routecheck.writers.wording.lengths import Lengths, Units
from routecheck.writers.wording.sums import sum_rows

FEET = Lengths(units=Units.FEET, minus="-")
METRES = re.compile(r"\d m(?:²|\b)(?!\w)")


# The foot is 0.3048 m exactly (international foot, 1959): 2.0 m are 6.56 ft, 55 m 180.4 ft.
@pytest.mark.parametrize(
    ("metric", "feet"),
    [
        ("charted at 2.0 m: 0.6 m short", "charted at 6.6 ft: 2.0 ft short"),
        ("0.02 m of air", "0.07 ft of air"),
        ("55 m off", "180 ft off"),
        ("margin -0.05 m,", "margin -0.16 ft,"),
        ("+0.30 m (± 0.10 m)", "+0.98 ft (± 0.33 ft)"),
        ("from 10 m to 1,000 m", "from 32.8 ft to 3,281 ft"),
        ("on 1,000 m²", "on 10,764 ft²"),
        ("draught + 3 m", "draught + 9.8 ft"),
        ("0 m", "0 ft"),
        ("2 m off: “under 7.5 m draught”, 9 m", "6.6 ft off: “under 7.5 m draught”, 29.5 ft"),
        ("30 min, 2 mm, 5 metres, 3 nmi", "30 min, 2 mm, 5 metres, 3 nmi"),
    ],
)
def test_lengths_in_a_sentence(metric: str, feet: str) -> None:
    assert FEET.prose(metric) == feet
    assert Lengths().prose(metric) == metric


def test_the_water_that_was_not_seen_is_told_in_square_feet() -> None:
    (row,) = sum_rows({"not_seen_m2": 1_000.0}, FEET)
    assert row.text == "10,764 ft²"


def test_no_figure_in_metres_is_left(root: Path) -> None:
    from routecheck.api import vet
    from routecheck.readers.folder import read_charts
    from routecheck.readers.route_file import read_routes
    from routecheck.readers.settings import read_boat, read_tide
    from routecheck.writers.brief import to_brief
    from routecheck.writers.findings_json import to_findings_json
    from routecheck.writers.map_html import to_map
    from routecheck.writers.terminal import to_terminal

    samples = root / "sample_charts"
    (route,) = read_routes(samples / "routes" / "over-a-shoal.gpx")
    vetted = vet(
        route,
        read_charts([samples / "charts"]),
        read_boat(samples / "boat.toml"),
        tide=read_tide(samples / "tide.toml"),
    )
    report = vetted.report
    assert any(METRES.search(f.title) for f in report.findings), "nothing to turn into feet"
    pages = [
        to_terminal(report, units="feet"),
        to_explanation(report, "1", units="feet"),
        to_brief(report, units="feet"),
        to_map(report, vetted.picture(), units="feet"),
    ]
    for page in pages:
        words = re.sub(r"<(style|script)(?! type=\"application/json).*?</\1>", "", page, flags=re.S)
        assert " ft" in words
        assert not [m.group() for m in re.finditer(r".{30}\d m(?:²|\b)(?!\w)", words)]
    assert METRES.search(to_findings_json(report))
