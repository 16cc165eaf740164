"""A grid's coordinate system: from WGS 84 and back, and whether that is known at all."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from routecheck.model.errors import BadInput
from routecheck.nav.angles import Floats, wrap180_deg

if TYPE_CHECKING:
    from pyproj import CRS

NO_PLACE = "give a file with its coordinate system and corner, such as a GeoTIFF"
_SAME_DEG = 1e-9
Turn = Callable[[Floats, Floats], tuple[Floats, Floats]]


def turns_of(
    file: str, wkt: str, lattice: tuple[Floats, Floats]
) -> tuple[float, Turn | None, Turn | None, str]:
    """(full turn in x, from and to longitude and latitude, what is assumed) of a system, as WKT.

    No turning at all where longitudes and latitudes of `lattice` are WGS 84's as they stand.
    Raises BadInput where it is not known how the system lies to WGS 84.
    """
    from pyproj import CRS
    from pyproj.exceptions import CRSError

    try:
        crs = _horizontal(CRS.from_user_input(wkt))
    except CRSError as error:
        raise BadInput(
            file=file, wrong=f"its coordinate system cannot be understood ({error})"
        ) from None
    if not (crs.is_geographic or crs.is_projected):
        raise BadInput(
            file=file,
            wrong=f"its coordinate system ({crs.name}) is not tied to the earth",
            do=NO_PLACE,
        )
    turn = 0.0
    if crs.is_geographic:
        factor = crs.axis_info[0].unit_conversion_factor if crs.axis_info else np.pi / 180.0
        turn = float(2.0 * np.pi / factor)
    tied = _is_tied(crs)
    assumed = "" if tied else _assumed(file, crs)
    both = _Both(crs, tied)
    if crs.is_geographic and abs(turn - 360.0) < 1e-9 and both.leaves(*lattice):
        return 360.0, None, None, assumed
    return turn, both.to_system, both.to_earth, assumed


def _is_tied(crs: CRS) -> bool:
    """Whether it is known how a system's datum lies to WGS 84."""
    from pyproj import Transformer
    from pyproj.exceptions import ProjError

    try:
        Transformer.from_crs("EPSG:4326", crs, always_xy=True, allow_ballpark=False)
    except ProjError:
        return False
    return True


def _assumed(file: str, crs: CRS) -> str:
    """What is taken for granted of a system whose datum no one names.

    Raises BadInput but on the ellipsoid of WGS 84 or GRS 1980 (EPSG 7030 and 7019).
    """
    body = crs.ellipsoid
    if (
        body is None
        or abs(body.semi_major_metre - 6378137.0) > 0.01
        or abs(body.inverse_flattening - 298.257223) > 1e-5
    ):
        raise BadInput(
            file=file,
            wrong=f"its coordinate system ({crs.name}) cannot be brought to WGS 84",
            do="warp it to WGS 84",
        )
    return "names no datum: by its ellipsoid it is taken as WGS 84"


def _horizontal(crs: CRS) -> CRS:
    """The horizontal part of a system that has heights too."""
    if crs.is_compound:
        return _horizontal(crs.sub_crs_list[0])
    return crs


@dataclass(eq=False)
class _Both:
    """From WGS 84 and back, made anew in another process."""

    crs: CRS
    tied: bool
    """Whether it is known how its datum lies to WGS 84."""
    _made: dict[int, object] = field(default_factory=dict, repr=False)

    def _transform(self, x: Floats, y: Floats, direction: str) -> tuple[Floats, Floats]:
        from pyproj import Transformer

        made = self._made.get(0)
        if made is None:
            made = self._made[0] = Transformer.from_crs(
                "EPSG:4326", self.crs, always_xy=True, allow_ballpark=not self.tied
            )
        assert isinstance(made, Transformer)
        out = made.transform(x, y, direction=direction)
        return np.asarray(out[0], dtype=float), np.asarray(out[1], dtype=float)

    def to_system(self, lon: Floats, lat: Floats) -> tuple[Floats, Floats]:
        return self._transform(lon, lat, "FORWARD")

    def to_earth(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        return self._transform(x, y, "INVERSE")

    def leaves(self, x: Floats, y: Floats) -> bool:
        """Whether positions are the same in both."""
        lon, lat = self.to_earth(x, y)
        same = (np.abs(wrap180_deg(lon - x)) < _SAME_DEG) & (np.abs(lat - y) < _SAME_DEG)
        return bool(same.all())

    def __getstate__(self) -> dict[str, object]:
        return {"crs": self.crs.to_wkt(), "tied": self.tied, "_made": {}}

    def __setstate__(self, state: dict[str, object]) -> None:
        from pyproj import CRS

        self.crs = CRS.from_wkt(str(state["crs"]))
        self.tied = bool(state["tied"])
        self._made = {}
