"""Heights of tide that no one relates to the datum of the depths."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.tide_need import unplaced
from routecheck.model.view import LegView


@check(name="tide-on-another-datum", group="depth", needs=(), gives={Severity.NOT_ASSESSED})
def tide_on_another_datum(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The tide that was given cannot be held against the depths: no one relates their datums.

    Rule      a depth or danger is charted below a datum that the water may fall below (any but
              LAT), no level says how that datum stands to that of the tide, and it would not pass
              if the water stood a whole range of the station below it: not assessed. For a
              constant height, and below a datum that no tide makes (a local datum, IGLD 1985),
              10 m stand for the range.
    Why       A low water may stand below MLW, MLLW or MLWS, and how far the tide's own low waters
              do is not known: 0 m of tide is too much then.
    Examples  in words: a shoal charted below MLLW, and a tide above LAT without a level for MLLW,
              is not assessed; with that level, or without a tide, nothing is said
    Settings  tide.toml: datum, levels; draught, under_keel, squat, heel_swell.
    Limits    Says nothing of a tide above "chart datum", which is taken for each chart's own; nor
              of one above a mean level, whose lowest height is taken off; nor without any tide,
              where the depths count as charted (the report says so among its assumptions).
    Sources   IHO S-32, Hydrographic Dictionary: mean low water, mean lower low water, lowest
              astronomical tide; the largest range of tide from memory.
    """
    found = list(unplaced(view, passage))
    tide = passage.tide
    if tide is None or not found:
        return
    first = min(found, key=lambda one: one.from_m)
    datums = ", ".join(sorted({one.datum for one in found}))
    names = ", ".join(sorted({name for one in found for name in one.names}))
    yield Finding(
        check="tide-on-another-datum",
        severity=Severity.NOT_ASSESSED,
        title=f"depths below {datums}, heights of tide above {tide.datum}, and nothing that "
        "relates the two",
        explanation=f"The water may fall below {datums}, by how much the heights of {names} do "
        "not tell. No tide was added to the depths here.",
        leg=view.leg.number,
        object_key="tide",
        along_m=first.from_m,
        along_to_m=max(one.to_m for one in found),
        lon_deg=first.lon_deg,
        lat_deg=first.lat_deg,
        settle=f"give the station a level for {datums}, or heights above the chart's own datum",
    )
