"""Which gates are told of, from how far to port of the middle, and in which words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from routecheck.checks.port_side_of_the_fairway import port_side_of_the_fairway
from routecheck.model.finding import Evidence, Finding
from routecheck.model.passes import GatePass, Ground, GroundKind, MarkPass, Sense
from tests.checks.markviews import leg_with, mark_pass
from tests.checks.told import said
from tests.checks.views import run

WITH = Ground(kind=GroundKind.CHART, sense=Sense.WITH, text="direction of buoyage 0°")
STAGGERED = {"edge_key": "cell/Left 2", "edge_name": "Left 2"}


def through(name: str = "Right", kind: str = "starboard-hand", **facts: Any) -> MarkPass:
    """A gate passed 40.04 m to port of its middle, its starboard-hand mark left to starboard."""
    of_mark = {key: facts.pop(key) for key in ("grounds", "along_m", "in_corridor") if key in facts}
    base: dict[str, Any] = {
        "partner_key": "cell/Left", "partner_name": "Left", "width_m": 323.46, "between": True,
        "lon_deg": -150.0, "lat_deg": 0.1, "off_middle_m": -40.04,
    }  # fmt: skip
    gate = GatePass(**{**base, **facts})
    return mark_pass(kind, name, gate=gate, **{"grounds": (WITH,), **of_mark})


def found(*passes: MarkPass) -> list[Finding]:
    return run(port_side_of_the_fairway, leg_with(*passes))


WORDS = "The gate is 323 m wide; its starboard side is the proper one in a narrow channel."


@pytest.mark.parametrize(
    ("met", "names"),
    [
        (through(), "Right and Left"),
        (through("", partner_name=""), "an unnamed mark and an unnamed mark"),
        (through(**STAGGERED), "Right and the edge from Left to Left 2"),
        # The edge across is nobody's nearer mark.
        (through(nearer=False, **STAGGERED), "Right and the edge from Left to Left 2"),
        (
            through(partner_name="", **{**STAGGERED, "edge_name": ""}),
            "Right and the edge from an unnamed mark to an unnamed mark",
        ),
        # The corridor laps over the mark: another check's, and the side is right all the same.
        (through(in_corridor=True), "Right and Left"),
    ],
)
def test_what_is_told(met: MarkPass, names: str) -> None:
    (one,) = found(met)
    assert said([one]) == [("note", f"40 m to port of the middle between {names}", WORDS)]
    assert (one.object_key, one.source, one.leg) == (met.mark.key, "cell", 3)
    assert (one.along_m, one.cross_m, one.lon_deg, one.lat_deg) == (500.0, 0.0, -150.0, 0.1)
    assert one.sums == {"gate_width_m": 323.5, "off_middle_m": -40.0}
    assert one.rests_on == "the places of both marks in cell"
    assert one.evidence == ()


@pytest.mark.parametrize(
    "met",
    [
        mark_pass("starboard-hand", grounds=(WITH,)),
        through(between=False),
        through(nearer=False),  # told at the other mark
        through(off_middle_m=40.0),
        through(bend_m=None, **STAGGERED),
        # The wrong side, one that nobody knows, and none at all.
        through(kind="port-hand"),
        through(grounds=()),
        through(kind="special"),
        # Its partner to starboard of the boat: rightly passed but beyond the other edge.
        through(between=False, nearer=False, outside_m=99.0, **STAGGERED),
    ],
)
def test_what_is_not_told(met: MarkPass) -> None:
    assert found(met) == []
    (one,) = found(met, through("Next"))
    assert one.object_key == "cell/BOYSPP/Next"


@pytest.mark.parametrize(
    ("off_middle_m", "bend_m", "told"),
    [
        # The mark's place is known to 5 m; the bend of the other edge comes on top.
        (-5.0, 0.0, 0),
        (-5.1, 0.0, 1),
        (-0.1, 0.0, 0),
        (-20.0, 15.0, 0),
        (-20.1, 15.0, 1),
        (-18.0, 15.0, 0),
    ],
)
def test_how_far_from_the_middle(off_middle_m: float, bend_m: float, told: int) -> None:
    assert len(found(through(off_middle_m=off_middle_m, bend_m=bend_m, **STAGGERED))) == told


def test_the_farthest_from_the_middle_leads_and_the_others_are_evidence() -> None:
    far = through("Far", off_middle_m=-90.06, along_m=900.0)
    near = through("Near", off_middle_m=-10.0, along_m=1200.0)
    (one,) = found(near, through(), far)
    assert (one.object_key, one.along_m) == ("cell/BOYSPP/Far", 900.0)
    assert one.sums["off_middle_m"] == -90.1
    assert one.evidence == tuple(
        Evidence(
            key=f"cell/BOYSPP/{name}", cls="BOYSPP", lon_deg=-150.0, lat_deg=0.1, along_m=along_m,
            text=f"{off} m to port of the middle between {name} and Left", source="cell",
        )
        for name, off, along_m in (("Right", 40, 500.0), ("Near", 10, 1200.0))
    )  # fmt: skip
    assert found(replace(far, gate=None)) == []
