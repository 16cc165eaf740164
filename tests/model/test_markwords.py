"""Rules in words, and how sure the direction is. IALA R1001, lateral marks."""

from __future__ import annotations

import pytest

from routecheck.model.markwords import rule_words, sureness
from routecheck.model.objects import MarkKind
from routecheck.model.passes import MarkPass
from tests.buoys import charts, judged, mark, met, zone

UP = [(0.0, -3000.0), (0.0, 3000.0)]


def one(kind: str, direction_deg: float | None = None, **more: object) -> MarkPass:
    zones = [] if direction_deg is None else [zone(direction_deg, "A")]
    (made,) = met(UP, charts([mark((100.0, 0.0), kind, **more)], zones))
    return made


def test_the_rule_names_the_side_that_is_judged() -> None:
    for kind in ("port-hand", "starboard-hand", "preferred-channel-to-port"):
        for direction in (0.0, 180.0):
            made = one(kind, direction)
            required = judged(made).side_required
            assert f"is left to {required}" in rule_words(made)
            assert ("secondary channel" in rule_words(made)) is kind.startswith("preferred")


def test_without_a_direction_both_ways_are_told() -> None:
    assert rule_words(one("port-hand")) == (
        "a port-hand mark is left to port going with the direction of buoyage, to starboard "
        "against it"
    )
    assert "no side to keep" in rule_words(one("port-hand", 90.0))
    assert "no rule can be told: its hand follows from the region" in rule_words(
        one("lateral", colours=("red",))
    )
    assert "contradicts itself" in rule_words(one("port-hand", 0.0, colours=("green",)))


@pytest.mark.parametrize("kind", [k for k in MarkKind if k is not MarkKind.LATERAL])
def test_every_kind_has_a_rule(kind: MarkKind) -> None:
    assert rule_words(one(kind.value, 0.0))


def test_how_sure() -> None:
    run = [
        mark((x, y), "port-hand" if n % 2 else "starboard-hand", f"Reach {n}")
        for n, x, y in ((1, -100.0, 0.0), (2, 100.0, 5.0), (3, -100.0, 900.0), (4, 100.0, 905.0))
    ]
    alone = [m for m in run if m.name != "Reach 2"] + [
        mark((-100.0, 1800.0), "port-hand", "Reach 5")
    ]
    by_run = {p.mark.name: sureness(p) for p in met(UP, charts(run))}
    assert set(by_run.values()) == {"inferred, two grounds agree"}
    assert sureness(met(UP, charts(alone))[0]) == "inferred from one ground alone"
    against = {p.mark.name: sureness(p) for p in met(UP, charts(run, [zone(180.0)]))}
    assert set(against.values()) == {"stated, and contradicted by marks"}
    assert sureness(one("port-hand", 0.0)) == "stated"
    assert sureness(one("port-hand")) == "not known"
    assert sureness(one("north")) == ""
