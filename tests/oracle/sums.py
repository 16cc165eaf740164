"""The sums of depth and air in a few lines, straight from the rules in words.

Depth: available = charted depth + lowest height of tide; needed = draught + squat + heel and swell
+ under-keel clearance. Danger: available < needed, or the keel touches (available <= draught +
squat + heel and swell). Caution: available - u < needed, with u the uncertainties of source and
tide added; and what lies only within its position uncertainty. CATZOC: IHO S-57 edition 3.1,
appendix A, attribute 72.
"""

from __future__ import annotations

from typing import Any

from tests.oracle import tides

NOTHING, CAUTION, NOT_ASSESSED, DANGER = 0, 1, 2, 3

CATZOC: dict[int, dict[str, Any] | None] = {
    1: {"vertical_m": 0.5, "share": 0.01, "horizontal_m": 5.0, "horizontal_share": 0.05},
    2: {"vertical_m": 1.0, "share": 0.02, "horizontal_m": 20.0},
    3: {"vertical_m": 1.0, "share": 0.02, "horizontal_m": 50.0},
    4: {"vertical_m": 2.0, "share": 0.05, "horizontal_m": 500.0},
    5: {"vertical_m": None, "share": 0.0, "horizontal_m": 500.0},
    6: None,
}

Clock = dict[str, Any]


def needed_m(clock: Clock) -> float:
    return float(touches_m(clock) + clock["under_keel_m"])


def touches_m(clock: Clock) -> float:
    return float(clock["draught_m"] + clock["squat_m"] + clock["heel_swell_m"])


def known(quality: dict[str, Any] | None) -> bool:
    return quality is not None and quality["vertical_m"] is not None


def uncertainty_m(quality: dict[str, Any] | None, depth_m: float) -> float:
    """The source's; none where nobody states it."""
    if quality is None or quality["vertical_m"] is None:
        return 0.0
    return float(quality["vertical_m"] + quality["share"] * abs(depth_m))


def belt_m(chart: dict[str, Any], quality: dict[str, Any] | None, depth_m: float | None) -> float:
    """How far off a depth or danger may lie: as its quality says, else 0.5 mm at the scale."""
    if quality is None or quality["horizontal_m"] is None:
        return own_belt_m(chart)
    return float(quality["horizontal_m"] + quality.get("horizontal_share", 0.0) * abs(depth_m or 0))


def own_belt_m(chart: dict[str, Any]) -> float:
    """For land and spans."""
    if chart["scale"] is not None:
        return 0.0005 * float(chart["scale"])
    return float((chart["quality"] or {}).get("horizontal_m") or 0.0)


def depth_rank(
    item: dict[str, Any],
    clock: Clock,
    tide: dict[str, Any] | None,
    window: tuple[float, float] | None,
    slack_m: float,
) -> tuple[int, str]:
    """(the severity of one depth, the sum in words). `slack_m` is added to the depth: above 0 for
    what the package must say, below 0 for what it may say."""
    low, is_known = tides.lowest_m(tide, item["datum"], *(window or (None, None)))
    depth = item["depth_m"] + slack_m
    available = depth + low
    margin = available - needed_m(clock)
    off = item["u_m"] + (tide["uncertainty_m"] if tide else 0.0)
    text = (
        f"{depth:.3f} charted {low:+.3f} tide ({'known' if is_known else 'not known'}), needed "
        f"{needed_m(clock):.3f}, margin {margin:.3f}, u {off:.3f}"
    )
    if margin < 0.0 or available <= touches_m(clock):
        return (CAUTION if item["belt"] else DANGER), text
    if margin - off < 0.0 or (item["unreliable"] and margin < needed_m(clock)):
        return CAUTION, text
    if not is_known and _lower_still(item, clock, tide) < 0.0:
        return NOT_ASSESSED, text
    return NOTHING, text


def _lower_still(item: dict[str, Any], clock: Clock, tide: dict[str, Any] | None) -> float:
    """The margin if the water stood a whole range below the lowest that the data knows."""
    if tide is None:
        return 0.0
    low, high = tides.ever_m(tide)
    level = max(0.0, tides.level_m(tide, item["datum"]) or 0.0)
    fall = min(0.0, low) - (high - low) - tide["surge_down_m"] - level
    off = item["u_m"] + tide["uncertainty_m"]
    return float(item["depth_m"] + fall - off - needed_m(clock))


def hangs_on_a_level(
    item: dict[str, Any], clock: Clock, tide: dict[str, Any] | None, slack_m: float
) -> bool:
    """Whether a depth passes only if the water does not fall below a datum that is not related to
    the tide's."""
    fall = tides.not_placed(tide, item["datum"])
    if tide is None or fall is None:
        return False
    off = item["u_m"] + tide["uncertainty_m"]
    return bool(item["depth_m"] + slack_m - fall - off < needed_m(clock))


def hangs_on_the_tide(
    item: dict[str, Any], clock: Clock, tide: dict[str, Any] | None, slack_m: float
) -> bool:
    """Whether a depth, or any danger, would not pass at the lowest tide that there is."""
    if tide is None or item["belt"]:
        return False
    low = min(0.0, tides.ever_m(tide)[0] - tide["surge_down_m"])
    off = item["u_m"] + tide["uncertainty_m"]
    shoal = item["depth_m"] + slack_m + low - off < needed_m(clock)
    return bool(shoal or item["group"] == "dangers")


def air_rank(
    span: dict[str, Any],
    clock: Clock,
    tide: dict[str, Any] | None,
    window: tuple[float, float] | None,
    slack_m: float,
    *,
    belt: bool,
) -> tuple[int, str]:
    """(the severity of one span, the sum in words)."""
    clearance = span["safe_m"]
    if clearance is None:
        stated = [v for v in (span["clearance_m"], span["closed_m"]) if v is not None]
        clearance = min(stated) if stated else None
    if clearance is None or clock["air_draught_m"] is None or span["datum"] == "unknown":
        return NOT_ASSESSED, "no clearance, no air draught or no datum"
    high, is_known, unbounded = tides.highest_m(tide, span["datum"], *(window or (None, None)))
    needed = clock["air_draught_m"] + clock["overhead_m"]
    margin = clearance + slack_m - high - needed
    off = tide["uncertainty_m"] if tide else 0.0
    text = f"clearance {clearance} - water {high:.3f} - needed {needed:.2f} = {margin:.3f}"
    if margin < 0.0:
        opened = span["open_m"]
        passes_open = span["opens"] and (opened is None or opened - high >= needed)
        return (CAUTION if passes_open or belt else DANGER), text
    if not is_known:
        return NOT_ASSESSED, text
    if margin - off < 0.0 or (span["electric"] and span["safe_m"] is None) or unbounded:
        return CAUTION, text
    return NOTHING, text
