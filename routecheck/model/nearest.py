"""Which of several places are the nearest to another, asked again and again."""

from __future__ import annotations

import numpy as np

from routecheck.model.tide_curve import Floats
from routecheck.nav.geodesic import geodesic_inverse

_ONE_METRE = 1.0
_MOST_KEPT = 20_000


class Nearest:
    """Places by index. Every check asks of the same depths, so answers are kept, and the distances
    between the places."""

    def __init__(self, lon_deg: Floats, lat_deg: Floats) -> None:
        self.lon_deg, self.lat_deg = lon_deg, lat_deg
        self._between_m: dict[int, Floats] = {}
        self._kept: dict[tuple[float, float, float], tuple[int, ...]] = {}

    def to(self, lon_deg: float, lat_deg: float, reach_m: float = 0.0) -> tuple[int, ...]:
        """The nearest, and every other that does not lie behind a nearer one: none is nearer both
        to the place and to the other than these are to each other. The nearest first; of all
        places within `reach_m`."""
        if len(self.lon_deg) < 2:
            return tuple(range(len(self.lon_deg)))
        key = (lon_deg, lat_deg, reach_m)
        found = self._kept.get(key)
        if found is None:
            if len(self._kept) >= _MOST_KEPT:
                self._kept.clear()
            found = self._kept[key] = self._to(*key)
        return found

    def _to(self, lon_deg: float, lat_deg: float, reach_m: float) -> tuple[int, ...]:
        away_m = geodesic_inverse(lon_deg, lat_deg, self.lon_deg, self.lat_deg)[1]
        order = np.argsort(away_m, kind="stable")
        kept: list[int] = []
        for j in order.tolist():
            nearer = away_m + 2.0 * reach_m < away_m[j]
            if not (self._from_m(j)[nearer] <= away_m[j] - reach_m + _ONE_METRE).any():
                kept.append(j)
        return tuple(kept)

    def _from_m(self, index: int) -> Floats:
        """The distances of all from one."""
        found = self._between_m.get(index)
        if found is None:
            found = geodesic_inverse(
                self.lon_deg[index], self.lat_deg[index], self.lon_deg, self.lat_deg
            )[1]
            self._between_m[index] = found
        return found
