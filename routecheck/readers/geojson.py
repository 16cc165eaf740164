"""What GeoJSON files have in common: features, positions, the one system of coordinates.

Format: RFC 7946, The GeoJSON Format (2016): longitude before latitude, WGS 84.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from routecheck.model.errors import BadInput
from routecheck.readers.geojson_members import means_wgs84
from routecheck.readers.geojson_members import shown as shown_crs
from routecheck.readers.jsonfile import read_json
from routecheck.readers.strict import cleaned, finite, latitude_deg, longitude_deg, shown

MOST_FEATURES = 100_000
_GEOMETRIES = (
    "Point",
    "MultiPoint",
    "LineString",
    "MultiLineString",
    "Polygon",
    "MultiPolygon",
    "GeometryCollection",
)


class Feature:
    """One feature: type of geometry, coordinates as they stand, properties, its number from 1."""

    def __init__(self, geometry: Any, properties: Any, number: int, *, file: str, only: bool):
        self.file, self.number = file, number
        self.where = "" if only else f"feature {number}"
        if properties is None:
            properties = {}
        if not isinstance(properties, dict):
            raise self.bad("its properties are not an object")
        self.properties: dict[str, Any] = properties
        self.type, self.coordinates = "", None
        self._within: Any = None
        if geometry is not None:
            self.type = self._type_of(geometry)
            self.coordinates = geometry.get("coordinates")
            self._within = geometry.get("geometries")

    def _type_of(self, geometry: Any) -> str:
        if not isinstance(geometry, dict) or geometry.get("type") not in _GEOMETRIES:
            raise self.bad("its geometry is not one of GeoJSON's")
        return str(geometry["type"])

    def simple(self) -> list[tuple[str, Any]]:
        """(type, coordinates) of its geometry, or of all that its collection holds, however deep;
        none where it has no geometry. Raises BadInput."""
        if self.type != "GeometryCollection":
            return [(self.type, self.coordinates)] if self.type else []
        found: list[tuple[str, Any]] = []
        waiting = deque([self._within])
        while waiting:
            members = waiting.popleft()
            if not isinstance(members, list):
                raise self.bad("the geometries of its collection are not a list")
            for member in members:
                kind = self._type_of(member)
                if kind == "GeometryCollection":
                    waiting.append(member.get("geometries"))
                else:
                    found.append((kind, member.get("coordinates")))
        return found

    def bad(self, wrong: str, where: str = "", do: str = "") -> BadInput:
        """What is wrong with this feature."""
        place = ", ".join(part for part in (self.where, where) if part)
        return BadInput(file=self.file, where=place, wrong=wrong, do=do)

    def text(self, name: str) -> str:
        """A property that is text, cleaned; "" where it is absent or null. Raises BadInput."""
        value = self.properties.get(name)
        if value is None:
            return ""
        if not isinstance(value, str):
            raise self.bad(f"{name} {shown(value)} is not text")
        return cleaned(value)

    def position(self, value: Any, where: str) -> tuple[float, float]:
        """(longitude, latitude) of one position; a height is left aside. Raises BadInput."""
        if not isinstance(value, list) or not 2 <= len(value) <= 4:
            raise self.bad("it is not a list [longitude, latitude]", where)
        try:
            return longitude_deg(finite(value[0])), latitude_deg(finite(value[1]))
        except ValueError as error:
            raise self.bad(str(error), where) from None

    def listed(self, value: Any, what: str) -> list[Any]:
        """The value, where it is a list. Raises BadInput."""
        if not isinstance(value, list):
            raise self.bad(f"the coordinates of {what} are not a list")
        return value


def read_features(path: Path) -> Iterator[Feature]:
    """The features of a GeoJSON file; a bare geometry counts as one. Raises BadInput."""
    whole = read_json(path)
    file = str(path)
    _refuse_other_coordinates(whole, file)
    kind = whole.get("type")
    if kind == "FeatureCollection":
        features = whole.get("features")
        if not isinstance(features, list):
            raise BadInput(file=file, wrong="its features are not a list")
        if len(features) > MOST_FEATURES:
            raise BadInput(file=file, wrong=f"it has more than {MOST_FEATURES} features")
    elif kind == "Feature":
        features = [whole]
    elif kind in _GEOMETRIES:
        features = [{"type": "Feature", "geometry": whole}]
    else:
        raise BadInput(file=file, wrong=f"type {shown(kind)} is not one of GeoJSON's")
    for number, feature in enumerate(features, start=1):
        if not isinstance(feature, dict) or feature.get("type") != "Feature":
            raise BadInput(file=file, where=f"feature {number}", wrong="it is no GeoJSON feature")
        yield Feature(
            feature.get("geometry"),
            feature.get("properties"),
            number,
            file=file,
            only=kind != "FeatureCollection",
        )


def _refuse_other_coordinates(whole: dict[str, Any], file: str) -> None:
    # RFC 7946 dropped the member "crs", but files of before 2016 and some programs have it; null
    # says that no system can be assumed.
    if "crs" in whole and not means_wgs84(whole["crs"]):
        raise BadInput(
            file=file,
            wrong=f"its coordinate system {cleaned(shown_crs(whole['crs']))} is not longitude and "
            "latitude on WGS 84",
            do="export it as RFC 7946 has it",
        )
