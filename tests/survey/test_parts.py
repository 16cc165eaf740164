"""Parts of a corridor: how far outward, how long, and how they are put together."""

from __future__ import annotations

import numpy as np
import pytest

from routecheck.survey.parts import (
    OUTWARD_M,
    OUTWARD_SHARE,
    STRETCH_M,
    Parts,
    joined_parts,
    no_parts,
    outward_m,
)


def parts(first: int, count: int) -> Parts:
    """Numbered corners: no two numbers of all parts are alike."""
    along = first + np.arange(count, dtype=float)
    corners = 100.0 * along[:, None] + np.arange(4.0)
    return Parts(
        along_from_m=along, along_to_m=along + 0.5, lon_deg=corners, lat_deg=corners + 10.0
    )


def same(one: Parts, other: Parts) -> bool:
    names = ("along_from_m", "along_to_m", "lon_deg", "lat_deg")
    return all(np.array_equal(getattr(one, n), getattr(other, n)) for n in names)


def test_a_stretch_is_a_twentieth_of_a_nautical_mile() -> None:
    assert pytest.approx(92.6) == STRETCH_M  # 1 nmi is 1,852 m (SI brochure, 9th ed., table 8)


@pytest.mark.parametrize(
    ("width_m", "outward"), [(0.0, 0.001), (100.0, 100.002), (1852.0, 1852.01952)]
)
def test_half_widths_are_a_hair_outward(width_m: float, outward: float) -> None:
    """One part in 100,000 and a millimetre."""
    assert outward_m(width_m) == pytest.approx(outward, abs=1e-9)
    assert outward_m(np.array([width_m]))[0] == outward_m(width_m)
    assert (OUTWARD_SHARE, OUTWARD_M) == (1e-5, 0.001)


def test_some_joined_and_none() -> None:
    five = parts(0, 5)
    assert same(five.some(slice(1, 3)), parts(1, 2))
    assert same(five.some(np.array([4])), parts(4, 1))
    assert same(joined_parts((parts(0, 2), parts(2, 3))), five)
    assert same(joined_parts((no_parts(), five, no_parts())), five)
    assert no_parts().along_from_m.shape == no_parts().along_to_m.shape == (0,)
    assert no_parts().lon_deg.shape == no_parts().lat_deg.shape == (0, 4)
