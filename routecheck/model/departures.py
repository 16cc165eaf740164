"""One leg for many departures at once: the same sums as `Passage`, in arrays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from routecheck.model.passage import Passage
from routecheck.model.tide import HeightsFound
from routecheck.model.tide_curve import Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class LegDepartures:
    """The passage of one leg (without a departure of its own) and departures as Unix times.

    Results have the shape (departures, stretches). Each is, to the last bit, what a `Passage` with
    that departure gives.
    """

    passage: Passage
    depart_s: Floats

    @property
    def count(self) -> int:
        """How many departures."""
        return len(self.depart_s)

    @property
    def has_eta(self) -> bool:
        """Whether it is known when the boat is where; that does not hang on the departure."""
        return self.passage.offsets_s(np.zeros(1), np.zeros(1)) is not None

    def windows_s(self, from_m: Floats, to_m: Floats) -> tuple[Floats, Floats] | None:
        """When the boat may be between distances along; None where there is no ETA."""
        offsets = self.passage.offsets_s(from_m, to_m)
        if offsets is None:
            return None
        return self.depart_s[:, None] + offsets[0], self.depart_s[:, None] + offsets[1]

    def lowest(
        self, stations: tuple[int, ...], datum: str, from_m: Floats, to_m: Floats
    ) -> HeightsFound | None:
        """The lowest heights of tide above `datum`; see `Passage.lowest`."""
        return self._heights(stations, datum, from_m, to_m, lowest=True)

    def highest(
        self, stations: tuple[int, ...], datum: str, from_m: Floats, to_m: Floats
    ) -> HeightsFound | None:
        """The highest heights of tide above `datum`."""
        return self._heights(stations, datum, from_m, to_m, lowest=False)

    def _heights(
        self, stations: tuple[int, ...], datum: str, from_m: Floats, to_m: Floats, *, lowest: bool
    ) -> HeightsFound | None:
        tide = self.passage.tide
        windows = self.windows_s(from_m, to_m)
        if tide is not None and tide.varies and windows is not None:
            bound = tide.lowest if lowest else tide.highest
            return bound(stations, datum, *windows)
        # Not a matter of time: a constant, no tide, or no ETA.
        alone = self.passage.lowest if lowest else self.passage.highest
        found = alone(stations, datum, from_m, to_m)
        if found is None:
            return None
        shape = (self.count, len(np.atleast_1d(from_m)))
        return HeightsFound(
            height_m=np.broadcast_to(found.height_m, shape),
            known=np.broadcast_to(found.known, shape),
            station=np.broadcast_to(found.station, shape),
        )
