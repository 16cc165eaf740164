"""Times for which the tide is not known, where it matters."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import NOTHING, Codes, check, code_of
from routecheck.model.tide_need import Stretch, stretches
from routecheck.model.view import LegView


def _sweep(view: LegView, departures: LegDepartures) -> Codes:
    codes = np.full(departures.count, NOTHING, dtype=np.int8)
    for one in stretches(view, departures.passage):
        windows = departures.windows_s(np.array([one.from_m]), np.array([one.to_m]))
        if windows is not None:
            known = one.known(windows[0], windows[1])[:, 0]
            codes[~known] = code_of(Severity.NOT_ASSESSED)
    return codes


@check(
    name="tide-not-known",
    group="depth",
    needs=(),
    gives={Severity.NOT_ASSESSED},
    sweep=_sweep,
)
def tide_not_known(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The tide data does not cover the time at which the boat is there.

    Rule      within the ETA's uncertainty a station that counts has no height, and some depth or
              danger on the leg would not pass if the water stood a whole range of that
              station's below its lowest: not assessed.
    Why       Outside its table a tide is anybody's guess.
    Examples  in words: a leg sailed after the tide table ends is not assessed where it is shoal
    Settings  tide.toml, eta; the departure and speeds.
    Limits    In water so deep that no tide matters nothing is said.
    Sources   Common practice.
    """
    unknown = [one for one in stretches(view, passage) if not _is_known(one, passage)]
    if not unknown:
        return
    first = min(unknown, key=lambda one: one.from_m)
    names = ", ".join(sorted({name for one in unknown for name in one.names}))
    yield Finding(
        check="tide-not-known",
        severity=Severity.NOT_ASSESSED,
        title=f"no height of tide is known for that time at {names}",
        explanation=(
            "; ".join(sorted({text for one in unknown for text in one.spans}))
            + ". Nothing was added to the depths there."
        ),
        leg=view.leg.number,
        object_key="tide",
        along_m=first.from_m,
        along_to_m=max(one.to_m for one in unknown),
        lon_deg=first.lon_deg,
        lat_deg=first.lat_deg,
        settle="give a tide that covers the passage",
    )


def _is_known(one: Stretch, passage: Passage) -> bool:
    window = passage.window_s(one.from_m, one.to_m)
    if window is None:
        return True
    return bool(one.known(np.array([window[0]]), np.array([window[1]]))[0])
