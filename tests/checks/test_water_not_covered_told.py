"""What is told of water that no chart covers, word for word."""

from __future__ import annotations

import pytest

from routecheck.checks.water_not_covered import water_not_covered
from routecheck.model.objects import Layer
from routecheck.model.view import Gap
from tests.checks.told import said
from tests.checks.views import run, view


def gap(layer: Layer, why: str = "no chart", settle: str = "", at_m: float = 100.0) -> Gap:
    return Gap(
        layer=layer, why=why, along_from_m=at_m, along_to_m=at_m + 50.0, area_m2=12_345.6,
        lon_deg=10.0, lat_deg=50.0, cross_m=-20.0, source="cell", settle=settle,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("layers", "what"),
    [
        ((Layer.DEPTH,), "depth"),
        ((Layer.DANGERS,), "underwater dangers"),
        ((Layer.DEPTH, Layer.LAND), "depth and land"),
        ((Layer.MARKS, Layer.OVERHEAD, Layer.AREAS),
         "marks, overhead clearance and regulated areas"),
    ],
)  # fmt: skip
def test_which_layers(layers: tuple[Layer, ...], what: str) -> None:
    gaps = tuple(gap(layer, at_m=100.0 * n) for n, layer in enumerate(layers))
    (found,) = run(water_not_covered, view(gaps=gaps))
    words = (
        f"{what[0].upper()}{what[1:]} could not be judged on 12,346 m² of the corridor, 0 m to "
        "50 m along the leg: no chart."
    )
    assert said([found]) == [("not-assessed", f"{what} not assessed: no chart", words)]
    assert found.object_key == f"{'+'.join(layers)}/no chart"
    assert (found.along_m, found.along_to_m, found.cross_m) == (0.0, 50.0, -20.0)
    assert found.sums == {"not_seen_m2": 12_345.6}


def test_what_has_another_reason_or_remedy_is_told_by_itself() -> None:
    gaps = (
        gap(Layer.DEPTH), gap(Layer.DEPTH, "too coarse"), gap(Layer.LAND, settle="a chart"),
        gap(Layer.LAND, "too coarse"),
    )  # fmt: skip
    found = run(water_not_covered, view(gaps=gaps))
    assert [(one.title, one.settle) for one in found] == [
        ("depth not assessed: no chart", ""),
        ("depth and land not assessed: too coarse", ""),
        ("land not assessed: no chart", "a chart"),
    ]
