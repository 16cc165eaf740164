"""Which gate is told of, once, and in which words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from routecheck.checks.outside_the_gate import outside_the_gate
from routecheck.model.finding import Finding
from routecheck.model.passes import GatePass, Ground, GroundKind, MarkPass, Sense
from tests.checks.markviews import leg_with, mark_pass, stands_at_mark
from tests.checks.views import run

WITH = Ground(kind=GroundKind.CHART, sense=Sense.WITH, text="direction of buoyage 0°")


def gate(**facts: Any) -> GatePass:
    base: dict[str, Any] = {
        "partner_key": "cell/Other", "partner_name": "Other", "width_m": 300.0, "between": False,
        "lon_deg": -150.0, "lat_deg": 0.0, "outside_m": 100.0,
    }  # fmt: skip
    return GatePass(**{**base, **facts})


def wrong(name: str = "Deep", grounds: tuple[Ground, ...] = (WITH,), **facts: Any) -> MarkPass:
    """Left to starboard on the port hand, going with the buoyage: outside its gate."""
    base: dict[str, Any] = {"grounds": grounds, "gate": gate()}
    return mark_pass("port-hand", name, **{**base, **facts})


def beyond(name: str = "Deep", **of_gate: Any) -> MarkPass:
    """Rightly left to starboard on the starboard hand, but beyond the channel's other edge."""
    base: dict[str, Any] = {
        "partner_key": "cell/Left 1", "partner_name": "Left 1", "edge_key": "cell/Left 2",
        "edge_name": "Left 2", "nearer": False,
    }  # fmt: skip
    held = gate(**{**base, **of_gate})
    return mark_pass("starboard-hand", name, grounds=(WITH,), gate=held)


def found(*passes: MarkPass) -> list[Finding]:
    return run(outside_the_gate, leg_with(*passes))


EDGE = "the edge from Left 1 to Left 2"
STAGGERED = {"partner_name": "Left 1", "edge_key": "cell/Left 2", "edge_name": "Left 2"}


@pytest.mark.parametrize(
    ("met", "severity", "title"),
    [
        (wrong(), "danger", "outside the gate of port-hand mark Deep and Other"),
        (
            wrong(gate=gate(partner_name="")),
            "danger",
            "outside the gate of port-hand mark Deep and the mark that it faces",
        ),
        # Nothing but the pair, further off than near (0.1 nmi): which hand is wrong is not known.
        (
            wrong(grounds=(), distance_m=200.0),
            "caution",
            "outside the gate of port-hand mark Deep and Other",
        ),
        (
            wrong(gate=gate(**STAGGERED)),
            "danger",
            "port-hand mark Deep left to starboard, outside its gate with the edge from Left 1 to "
            "Left 2: its side is port",
        ),
        (
            wrong(grounds=(), distance_m=200.0, gate=gate(**STAGGERED)),
            "caution",
            f"outside the staggered gate of port-hand mark Deep and {EDGE}",
        ),
        (beyond(), "caution", f"beyond {EDGE} of the channel of starboard-hand mark Deep"),
        (
            beyond(partner_name="", edge_name=""),
            "caution",
            "beyond the edge from an unnamed mark to an unnamed mark of the channel of "
            "starboard-hand mark Deep",
        ),
    ],
)
def test_what_is_told(met: MarkPass, severity: str, title: str) -> None:
    (one,) = found(met)
    assert (one.severity, one.title) == (severity, title)
    stands_at_mark(one, met)
    assert (one.sums["gate_width_m"], one.sums["gate_outside_m"]) == (300.0, 100.0)


@pytest.mark.parametrize(
    "met",
    [
        wrong(gate=None),  # a wrong side, and another check's
        wrong(gate=gate(between=True)),
        wrong(gate=gate(nearer=False)),
        mark_pass("north", opposite_m=50.0, gate=gate()),
        beyond(nearer=True),
        mark_pass("starboard-hand", grounds=(WITH,), gate=gate()),
    ],
)
def test_what_is_told_elsewhere_or_is_right(met: MarkPass) -> None:
    assert found(met) == []
    # Nor does it keep another gate from being told.
    assert len(found(met, wrong("Next"))) == 1
    assert len(found(wrong("Next"), met)) == 1


def test_each_wrong_mark_is_told() -> None:
    passes = (wrong("A"), mark_pass(), wrong("B"))
    assert [one.object_key for one in found(*passes)] == ["cell/BOYSPP/A", "cell/BOYSPP/B"]


def test_an_edge_is_told_once() -> None:
    """By its own marks where one of them is wrongly passed; else at each mark across from it."""
    here = beyond("Right")
    assert [one.severity for one in found(here)] == ["caution"]
    # The mark itself, one of the two marks of the edge, and another.
    for key in ("cell/BOYSPP/Right", "cell/Left 1", "cell/Left 2"):
        told = found(here, wrong("x", key=key, gate=None))
        assert told == []
    assert len(found(here, wrong("x", gate=None))) == 1
    # Passed twice by the same track, told once; two marks across from it are two.
    assert len(found(here, replace(here, along_m=900.0))) == 1
    assert len(found(here, beyond("Right 2"))) == 2
    assert len(found(here, beyond("Right 2", partner_key="cell/BOYSPP/Right"))) == 1
