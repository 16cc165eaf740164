"""Margin bands: what water is coloured as, and whether eyes of all kinds can tell."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.boat import Boat, Margins
from routecheck.writers.drawing.bands import LAND_FILL, STYLES, Band, band_words, bands_of, swatch
from routecheck.writers.wording.lengths import Lengths, Units

BOAT = Boat(name="b", draught_m=2.0, margins=Margins(under_keel_m=1.0, squat_m=0.2))

# Simulation of colour-vision deficiency at full severity, for linear RGB: G. M. Machado et al.,
# IEEE Transactions on Visualization and Computer Graphics 15 (2009), table of matrices.
MACHADO = {
    "usual": np.eye(3),
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanopia": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}


def linear(colour: str) -> np.ndarray:
    """Linear RGB of a hexadecimal sRGB colour: IEC 61966-2-1."""
    values = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def luminance(colour: str, sight: str = "usual") -> float:
    """Relative luminance: W3C, Web Content Accessibility Guidelines 2.2."""
    seen = np.clip(MACHADO[sight] @ linear(colour), 0.0, 1.0)
    return float(seen @ np.array([0.2126, 0.7152, 0.0722]))


def contrast(first: float, second: float) -> float:
    """Contrast ratio: W3C, Web Content Accessibility Guidelines 2.2."""
    light, dark = max(first, second), min(first, second)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    ("available_m", "band"),
    [
        (-1.0, Band.TOUCHES),
        (2.2, Band.TOUCHES),  # no more than draught and squat: the keel touches
        (2.21, Band.SHORT),
        (3.19, Band.SHORT),
        (3.2, Band.EXACT),
        (3.69, Band.EXACT),
        (3.7, Band.SLIM),
        (5.19, Band.SLIM),
        (5.2, Band.FAIR),
        (8.19, Band.FAIR),
        (8.21, Band.AMPLE),
        (4000.0, Band.AMPLE),
    ],
)
def test_bands_by_example(available_m: float, band: Band) -> None:
    # needed 3.2 m, the keel touches at 2.2 m; uncertainty 0.5 m
    assert bands_of(available_m, 0.5, boat=BOAT, clears=True) == band


@given(st.floats(-50, 12000), st.floats(0, 20))
def test_what_cannot_clear_is_never_coloured_as_enough(available_m: float, u_m: float) -> None:
    band = bands_of(available_m, u_m, boat=BOAT, clears=False)
    assert band in (Band.UNKNOWN, Band.SHORT, Band.TOUCHES)
    assert (band == Band.UNKNOWN) == (available_m - BOAT.needed_m >= 0.0)


@given(st.floats(-50, 12000), st.floats(0, 20), st.floats(0, 5))
def test_less_water_or_worse_data_is_never_a_better_band(
    available_m: float, u_m: float, less_m: float
) -> None:
    band = bands_of(available_m, u_m, boat=BOAT, clears=True)
    assert bands_of(available_m - less_m, u_m, boat=BOAT, clears=True) <= band
    assert bands_of(available_m, u_m + less_m, boat=BOAT, clears=True) <= band


def test_styles_stand_in_the_order_of_bands() -> None:
    assert [style.band for style in STYLES] == list(Band)


@pytest.mark.parametrize("sight", MACHADO)
def test_more_water_is_lighter_to_every_eye(sight: str) -> None:
    steps = [luminance(style.fill, sight) for style in STYLES[1:]]
    assert steps == sorted(steps)
    for darker, lighter in pairwise(steps):
        # 1.15: what neighbours of the wash differ by at least; hatching tells them apart, too.
        assert contrast(darker, lighter) > 1.15


def test_neighbouring_bands_differ_in_hatching() -> None:
    looks = [(s.hatch.kind, s.hatch.angle_deg, s.hatch.step_px) for s in STYLES]
    for first, second in pairwise(looks[1:]):
        assert first != second
    assert [s.hatch.kind for s in STYLES].count("query") == 1


def test_no_red_amber_or_green_and_no_blue_water() -> None:
    for style in STYLES[1:]:
        red, green, blue = (int(style.fill[i : i + 2], 16) for i in (1, 3, 5))
        assert green <= red <= blue or max(red, green, blue) - min(red, green, blue) < 12
        assert blue - red < 80


def test_unassessed_water_is_no_step_of_the_wash() -> None:
    ground = linear(STYLES[Band.UNKNOWN].fill)
    assert ground[0] >= ground[2]  # warm, where the wash is violet
    assert STYLES[Band.UNKNOWN].hatch.kind == "query"
    assert "?" in swatch(STYLES[Band.UNKNOWN])


def test_land_is_dark_enough_to_stand_off() -> None:
    assert contrast(luminance(LAND_FILL), luminance(STYLES[Band.AMPLE].fill)) > 2.0


@pytest.mark.parametrize("units", list(Units))
def test_every_band_has_words(units: Units) -> None:
    words = [band_words(band, Lengths(units=units))[0] for band in Band]
    assert len(set(words)) == len(Band)
    assert ("ft" in " ".join(words)) == (units is Units.FEET)
