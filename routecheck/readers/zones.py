"""The user's own zones of buoyage: GeoJSON polygons with a direction, a region, or both."""

from __future__ import annotations

from pathlib import Path

from routecheck.model.errors import BadInput
from routecheck.model.objects import BuoyageZone
from routecheck.readers.geojson import Feature, read_features
from routecheck.readers.marks import read_marks
from routecheck.readers.polygons import polygon_of
from routecheck.readers.strict import cleaned, finite, nearest, shown

__all__ = ["read_marks", "read_zones"]

_KNOWN = ("direction_of_buoyage_deg", "region")


def read_zones(path: Path) -> tuple[BuoyageZone, ...]:
    """Zones of a GeoJSON file. Properties: ``direction_of_buoyage_deg`` (true, 0 to 360) and
    ``region`` ("A" or "B"), at least one of them; ``name`` where wanted. Raises BadInput.
    """
    source = cleaned(path.name) or "zones"
    made = []
    for feature in read_features(path):
        for key in feature.properties:
            # Another spelling must not lose a zone its direction; other properties may stand.
            meant = nearest(key, _KNOWN, likeness=0.75)
            if "direction" in key.lower() or "buoyage" in key.lower():
                meant = _KNOWN[0]
            if key not in _KNOWN and meant:
                named = cleaned(key, longest=40)
                raise feature.bad(f"property {named!r} is not known", do=f"did you mean {meant!r}?")
        direction, region = _direction_deg(feature), _region(feature)
        if direction is None and not region:
            raise feature.bad("it has neither direction_of_buoyage_deg nor region")
        made.append(
            BuoyageZone(
                key=f"{source}/zone/{feature.number}",
                cls="zone",
                source=source,
                geometry=polygon_of(feature),
                name=feature.text("name"),
                region=region,
                direction_of_buoyage_deg=direction,
                from_user=True,
            )
        )
    if not made:
        raise BadInput(file=str(path), wrong="it holds no zone")
    return tuple(made)


def _direction_deg(feature: Feature) -> float | None:
    value = feature.properties.get("direction_of_buoyage_deg")
    if value is None:
        return None
    try:
        direction = finite(value)
    except ValueError as error:
        raise feature.bad(f"direction_of_buoyage_deg: {error}") from None
    if not 0.0 <= direction <= 360.0:
        raise feature.bad(f"direction_of_buoyage_deg {direction:g} is not from 0 to 360")
    return direction % 360.0


def _region(feature: Feature) -> str:
    value = feature.properties.get("region")
    if value is None:
        return ""
    if value not in ("A", "B"):
        raise feature.bad(f"region {shown(value)} is neither A nor B")
    return str(value)
