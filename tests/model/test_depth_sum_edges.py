"""Every edge of the sum, one by one and in arrays. All numbers are exact in binary.

The rule is this project's own: danger below what is needed or where the keel touches, caution
where the uncertainty takes the margin below nothing, at nothing too where nobody states it.
"""

from __future__ import annotations

import numpy as np
import pytest

from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Severity
from routecheck.model.depth_sum import DepthSum, severity_codes, worst
from routecheck.model.passage import HeightOfTide
from routecheck.model.source import UNKNOWN_QUALITY

DANGER, CAUTION, NOTHING = Severity.DANGER, Severity.CAUTION, None
CODES = {DANGER: 0, CAUTION: 1, NOTHING: 4}
# depth, tide, uncertainty, whether known, under keel, in the corridor, unreliable -> what it is
EDGES = [
    # The keel touches at 2 m: exactly that is touching, whatever clearance is wanted.
    (2.0, 0.0, 0.0, True, 0.0, True, False, DANGER),
    (2.0, 0.0, 0.0, True, 0.0, False, False, CAUTION),
    (2.0625, 0.0, 0.0, True, 0.0, True, False, NOTHING),
    (1.0, 1.0, 0.0, True, 0.0, True, False, DANGER),
    (3.0, -1.0, 0.0, True, 0.0, True, False, DANGER),
    (3.0, -0.9375, 0.0, True, 0.0, True, False, NOTHING),
    (0.0, 1.9375, 0.0, True, 0.0, True, False, DANGER),
    # One metre is wanted below it: exactly that is enough, a hair less is not.
    (3.0, 0.0, 0.0, True, 1.0, True, False, NOTHING),
    (2.9375, 0.0, 0.0, True, 1.0, True, False, DANGER),
    (2.9375, 0.0, 0.0, True, 1.0, False, False, CAUTION),
    (2.0, 1.0, 0.0, True, 1.0, True, False, NOTHING),
    (2.5, 0.4375, 0.0, True, 1.0, True, False, DANGER),
    # A stated uncertainty that takes all of the margin leaves nothing; more is a caution.
    (3.5, 0.0, 0.5, True, 1.0, True, False, NOTHING),
    (3.5, 0.0, 0.5, True, 1.0, False, False, NOTHING),
    (3.5, 0.0, 0.5625, True, 1.0, True, False, CAUTION),
    (3.5, 0.0, 0.5625, True, 1.0, False, False, CAUTION),
    # One that nobody states is more than 0, if not by how much.
    (3.0, 0.0, 0.0, False, 1.0, True, False, CAUTION),
    (3.0625, 0.0, 0.0, False, 1.0, True, False, NOTHING),
    (3.5, 0.0, 0.5, False, 1.0, True, False, CAUTION),
    (3.5625, 0.0, 0.5, False, 1.0, True, False, NOTHING),
    # A doubtful sounding of twice what is needed passes, of less with a caution.
    (5.9375, 0.0, 0.0, True, 1.0, True, True, CAUTION),
    (6.0, 0.0, 0.0, True, 1.0, True, True, NOTHING),
    (5.0, 0.9375, 0.0, True, 1.0, True, True, CAUTION),
    (2.0, 0.0, 0.0, True, 1.0, True, True, DANGER),
]


def boat(under_keel_m: float) -> Boat:
    return Boat(name="b", draught_m=2.0, margins=Margins(under_keel_m=under_keel_m))


@pytest.mark.parametrize(
    ("depth_m", "tide_m", "off_m", "known", "keel_m", "inside", "unreliable", "expected"), EDGES
)
def test_each_edge(
    depth_m: float,
    tide_m: float,
    off_m: float,
    known: bool,
    keel_m: float,
    inside: bool,
    unreliable: bool,
    expected: Severity | None,
) -> None:
    of = boat(keel_m)
    one = DepthSum(
        charted_depth_m=depth_m,
        tide=HeightOfTide(height_m=tide_m, uncertainty_m=0.0, text="t"),
        uncertainty_m=off_m,
        boat=of,
        known=known,
    )
    assert one.severity(in_corridor=inside, unreliable=unreliable) is expected
    assert one.margin_m == depth_m + tide_m - 2.0 - keel_m
    codes = severity_codes(
        np.array([depth_m]),
        np.array([tide_m]),
        np.array([off_m]),
        of,
        in_corridor=np.array([inside]),
        unreliable=np.array([unreliable]),
        known=np.array([known]),
    )
    assert codes.tolist() == [CODES[expected]]
    assert codes.dtype == np.int8


def test_what_nobody_says_counts_as_known_and_reliable() -> None:
    tide = HeightOfTide(height_m=0.0, uncertainty_m=0.0, text="t")
    one = DepthSum(charted_depth_m=3.0, tide=tide, uncertainty_m=0.0, boat=boat(1.0))
    assert one.known
    assert one.severity(in_corridor=True) is None


def test_no_sum_holds_what_is_not_finite() -> None:
    tide = HeightOfTide(height_m=0.0, uncertainty_m=0.0, text="t")
    for depth_m, off_m in ((float("nan"), 0.0), (float("inf"), 0.0), (3.0, float("nan"))):
        with pytest.raises(ValueError, match=r"DepthSum.* is (nan|inf)"):
            DepthSum(charted_depth_m=depth_m, tide=tide, uncertainty_m=off_m, boat=boat(1.0))


def test_the_sum_shows_its_numbers_and_a_sentence_rounded_against_the_boat() -> None:
    of = Boat(
        name="b",
        draught_m=2.0,
        margins=Margins(under_keel_m=1.0, squat_m=0.25, heel_swell_m=0.125),
    )
    tide = HeightOfTide(height_m=0.5, uncertainty_m=0.0, text="high water")
    one = DepthSum(charted_depth_m=4.0, tide=tide, uncertainty_m=0.75, boat=of)
    assert list(one.lines().items()) == [
        ("charted_depth_m", 4.0),
        ("height_of_tide_m", 0.5),
        ("tide", "high water"),
        ("available_m", 4.5),
        ("draught_m", 2.0),
        ("squat_m", 0.25),
        ("heel_swell_m", 0.125),
        ("under_keel_m", 1.0),
        ("needed_m", 3.375),
        ("margin_m", 1.125),
        ("uncertainty_m", 0.75),
    ]
    said = one.sentence("of water")
    assert "+0.5 m tide" in said
    assert "4.5 m of water (4.0 m charted" in said
    assert "3.38 m needed: margin 1.12 m, uncertainty 0.75 m." in said


@pytest.mark.parametrize(
    ("off_m", "words"), [(0.0, "not known"), (0.11, "not known, at least 0.11 m")]
)
def test_an_uncertainty_that_no_one_states_is_told_as_not_known(off_m: float, words: str) -> None:
    """Shown as 0.0 m, or as the tide's share alone, until 2026-11-29."""
    tide = HeightOfTide(height_m=0.0, uncertainty_m=off_m, text="t")
    one = DepthSum.of(charted_depth_m=3.0, quality=UNKNOWN_QUALITY, tide=tide, boat=boat(1.0))
    assert one.sentence("of water").endswith(f", uncertainty {words}.")
    assert one.lines()["uncertainty_m"] == words


def test_the_worst_is_the_gravest_present() -> None:
    every: list[Severity | None] = list(Severity)
    for at, one in enumerate(every):
        assert worst([None, *reversed(every[at:])]) is one
    assert worst([]) is None
