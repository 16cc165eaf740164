"""Margin bands: how water is coloured and hatched for one boat. Less water is more ink.

One violet wash that only grows lighter, so that the order holds for every kind of colour vision
and in grey print; the hatching tells neighbours apart without any colour. What could not be
judged is no step of the wash at all: pale ground with a field of question marks.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from routecheck.model.boat import Boat
from routecheck.writers.wording.lengths import Lengths, Units


class Band(IntEnum):
    """From the worst; UNKNOWN stands apart."""

    UNKNOWN = 0
    TOUCHES = 1
    SHORT = 2
    EXACT = 3
    SLIM = 4
    FAIR = 5
    AMPLE = 6


@dataclass(frozen=True, kw_only=True, slots=True)
class Hatch:
    """A repeated stroke pattern: `kind` is none, lines, cross, dots or query.

    `angle_deg` is the slope of the lines, `step_px` their distance, `width_px` their width.
    """

    kind: str = "none"
    angle_deg: float = 45.0
    step_px: float = 8.0
    width_px: float = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class BandStyle:
    """How a band looks: ground colour, ink of its hatching, the hatching."""

    band: Band
    fill: str
    ink: str
    hatch: Hatch


STYLES: tuple[BandStyle, ...] = (
    BandStyle(
        band=Band.UNKNOWN,
        fill="#ebe9e4",
        ink="#8d877c",
        hatch=Hatch(kind="query", step_px=20.0, width_px=1.0),
    ),
    BandStyle(
        band=Band.TOUCHES,
        fill="#2a1140",
        ink="#8d6fae",
        hatch=Hatch(kind="cross", step_px=7.0, width_px=1.1),
    ),
    BandStyle(
        band=Band.SHORT,
        fill="#5c3a86",
        ink="#bda6d6",
        hatch=Hatch(kind="lines", angle_deg=45.0, step_px=6.0, width_px=1.1),
    ),
    BandStyle(
        band=Band.EXACT,
        fill="#9077b5",
        ink="#4a2f70",
        hatch=Hatch(kind="lines", angle_deg=-45.0, step_px=9.0, width_px=1.1),
    ),
    BandStyle(
        band=Band.SLIM,
        fill="#bfb0d8",
        ink="#6f5a96",
        hatch=Hatch(kind="dots", step_px=8.0, width_px=1.5),
    ),
    BandStyle(
        band=Band.FAIR,
        fill="#dcd4ea",
        ink="#a295c0",
        hatch=Hatch(kind="dots", step_px=15.0, width_px=1.3),
    ),
    BandStyle(band=Band.AMPLE, fill="#f1eef7", ink="#d5cde4", hatch=Hatch()),
)
LAND_FILL = "#a79f90"
LAND_INK = "#3a352d"


def steps_m(units: Units) -> tuple[float, float]:
    """Margins at which water turns from slim to fair and from fair to ample, metres."""
    if units is Units.FEET:
        return 6.0 * 0.3048, 15.0 * 0.3048
    return 2.0, 5.0


def bands_of(
    available_m: ArrayLike,
    uncertainty_m: ArrayLike,
    *,
    boat: Boat,
    clears: ArrayLike,
    units: Units = Units.METRIC,
) -> NDArray[np.uint8]:
    """The band of each depth of water; shapes broadcast.

    `clears` False: the source may condemn the water, never clear it, so that what it would
    clear is UNKNOWN.
    """
    available = np.asarray(available_m, dtype=float)
    margin = available - boat.needed_m
    slim_m, fair_m = steps_m(units)
    # From the best to the worst, so that the worst that holds is what stays.
    bands = np.full(np.broadcast(margin, uncertainty_m, clears).shape, Band.AMPLE, dtype=np.uint8)
    bands[np.broadcast_to(margin < fair_m, bands.shape)] = Band.FAIR
    bands[np.broadcast_to(margin < slim_m, bands.shape)] = Band.SLIM
    bands[np.broadcast_to(margin - np.asarray(uncertainty_m) < 0.0, bands.shape)] = Band.EXACT
    bands[~np.broadcast_to(np.asarray(clears, dtype=bool), bands.shape)] = Band.UNKNOWN
    bands[np.broadcast_to(margin < 0.0, bands.shape)] = Band.SHORT
    bands[np.broadcast_to(available <= boat.touches_at_m, bands.shape)] = Band.TOUCHES
    return bands


def band_words(band: Band, lengths: Lengths) -> tuple[str, str]:
    """(what it means, in what range of the margin) for the legend."""
    slim_m, fair_m = steps_m(lengths.units)
    slim, fair = (f"{lengths.of(m):.0f}" for m in (slim_m, fair_m))
    unit = lengths.unit
    return {
        Band.UNKNOWN: ("not assessed", "no depth, no usable datum, or too coarse a source"),
        Band.TOUCHES: ("the keel touches", "no more water than draught, squat, heel and swell"),
        Band.SHORT: ("less than wanted", "afloat, but the margin is below 0"),
        Band.EXACT: ("only if the data is exact", "margin within the data's uncertainty"),
        Band.SLIM: (f"margin under {slim} {unit}", ""),
        Band.FAIR: (f"margin {slim} to {fair} {unit}", ""),
        Band.AMPLE: (f"margin {fair} {unit} and more", ""),
    }[band]


def swatch(style: BandStyle, *, width: int = 46, height: int = 22) -> str:
    """A sample of a band as inline SVG; nothing in it comes from a file."""
    hatch, ink = style.hatch, style.ink
    strokes: list[str] = []
    step = hatch.step_px

    def slanted(sign: float) -> None:
        offset = -float(height)
        while offset < width + height:
            low, high = (0, height) if sign > 0 else (height, 0)
            strokes.append(
                f'<path d="M{offset:g} {high}L{offset + height:g} {low}" stroke="{ink}" '
                f'stroke-width="{hatch.width_px:g}"/>'
            )
            offset += step * 2**0.5

    if hatch.kind == "lines":
        slanted(1.0 if hatch.angle_deg > 0 else -1.0)
    elif hatch.kind == "cross":
        slanted(1.0)
        slanted(-1.0)
    elif hatch.kind == "dots":
        for row, y in enumerate(np.arange(step / 2, height, step)):
            for x in np.arange(step / 2 + (row % 2) * step / 2, width, step):
                strokes.append(
                    f'<circle cx="{x:g}" cy="{y:g}" r="{hatch.width_px:g}" fill="{ink}"/>'
                )
    elif hatch.kind == "query":
        for x in (width * 0.27, width * 0.73):
            strokes.append(
                f'<text x="{x:g}" y="{height * 0.73:g}" font-size="14" font-weight="700" '
                f'font-family="Georgia, serif" text-anchor="middle" fill="{ink}">?</text>'
            )
    return (
        f'<svg class="swatch" width="{width}" height="{height}" viewBox="0 0 {width} {height}" '
        f'aria-hidden="true"><rect width="{width}" height="{height}" fill="{style.fill}"/>'
        f"{''.join(strokes)}</svg>"
    )
