"""What is told of an edge that is crossed, and how crossings of one edge are told apart."""

from __future__ import annotations

from typing import Any

from routecheck.checks.across_the_channels_edge import across_the_channels_edge
from routecheck.model.objects import MarkKind
from routecheck.model.passes import EdgeCrossed
from tests.checks.markviews import leg_with, mark_pass
from tests.checks.told import said
from tests.checks.views import run


def edge(**facts: Any) -> EdgeCrossed:
    base: dict[str, Any] = {
        "first_key": "a", "first_name": "No 2", "second_key": "b", "second_name": "No 4",
        "hand": MarkKind.PORT_HAND, "length_m": 612.34, "off_nearer_m": 187.66, "lon_deg": -150.1,
        "lat_deg": 0.1, "enters": True, "numbered": True,
    }  # fmt: skip
    return EdgeCrossed(**{**base, **facts})


def test_what_is_told() -> None:
    bare = edge(first_name="", second_name="", second_key="c", enters=False, numbered=False)
    passes = (mark_pass(), mark_pass("port-hand", edges=(edge(), bare)))
    found = run(across_the_channels_edge, leg_with(*passes))
    where = "The two port-hand marks stand 612 m apart on one edge; it is crossed 188 m from the "
    assert said(found) == [
        (
            "note",
            "enters the channel from the side, between the port-hand marks No 2 and No 4",
            where + "nearer.",
        ),
        (
            "note",
            "leaves the channel to the side, between the port-hand marks one and the next",
            where + "nearer.",
        ),
    ]
    assert [one.rests_on for one in found] == [
        "that their numbers follow on one edge",
        "the places of the marks alone",
    ]
    first = found[0]
    assert (first.along_m, first.cross_m, first.lon_deg, first.lat_deg) == (500.0, 0.0, -150.1, 0.1)
    assert first.sums == {"edge_m": 612.3, "off_nearer_m": 187.7}
    assert (first.source, first.cls, first.leg) == ("cell", "BOYSPP", 3)


def test_each_crossing_of_an_edge_has_a_key_of_its_own() -> None:
    passes = [mark_pass("port-hand", name, edges=(edge(),)) for name in "xyz"]
    passes.insert(1, mark_pass("port-hand", edges=(edge(second_key="c"),)))
    found = run(across_the_channels_edge, leg_with(*passes))
    assert [one.object_key for one in found] == ["a/b", "a/c", "a/b/2", "a/b/3"]
