"""What a chart says of itself by area: coverage, quality, datums, system of buoyage."""

from __future__ import annotations

import re
from typing import Any

from routecheck.model.chart import Severity
from routecheck.model.datum import UNKNOWN, VERDAT
from routecheck.model.objects import BuoyageZone, CoverageArea, DatumZone, QualityZone, SteeringLine
from routecheck.readers.charted import Draft, Row, clean
from routecheck.readers.charted_marks import REGIONS
from routecheck.readers.shapes import areal

_COVERED, _NOT_COVERED = 1, 2
_LEADING = 3
"""CATNAV, attribute 41; clearing lines and transits lead nowhere."""
_OUTBOUND, _ONE_WAY = 2, 3
"""TRAFIC, attribute 172."""
_CATZOC = range(1, 7)


def zone(row: Row, draft: Draft) -> bool:
    """M_COVR, M_QUAL, M_NSYS, M_SDAT, M_VDAT. False where it is no area."""
    shape = areal(row.geometry)
    if shape is None:
        return False
    base = draft.base(row) | {"geometry": shape}
    if row.cls == "M_COVR":
        covered = row.code("CATCOV")
        if covered not in (_COVERED, _NOT_COVERED):
            draft.flaw(row, "it does not say whether there is data here", kind="M_COVR blank")
        draft.put("coverage", CoverageArea(covered=covered == _COVERED, **base))
    elif row.cls == "M_QUAL":
        draft.put("quality_zones", _quality(row, draft, base))
    elif row.cls == "M_NSYS":
        _buoyage(row, draft, base)
    else:
        code = row.code("VERDAT")
        datum = UNKNOWN if code is None else VERDAT.get(code, UNKNOWN)
        if row.cls == "M_SDAT":
            draft.put("datum_zones", DatumZone(datum=datum, **base))
        else:
            draft.height_datums.append((shape, datum))
    return True


def accuracy(row: Row, draft: Draft) -> bool:
    """M_ACCY: how far off positions in it may be. False where it is no area."""
    stated, stated_m = row.values.get("POSACC"), row.raw_number("POSACC")
    if stated is not None and (stated_m is None or not 0.0 <= stated_m < 1e6):
        wrong = f"POSACC {clean(str(stated))[:40]!r} is no accuracy in metres and was left out"
        draft.flaw(row, wrong, kind="M_ACCY POSACC absurd")
    elif stated_m:
        shape = areal(row.geometry)
        if shape is None:
            return False
        draft.accuracy_zones.append((shape, stated_m))
    return True


def _quality(row: Row, draft: Draft, base: dict[str, Any]) -> QualityZone:
    catzoc, stated_m = row.code("CATZOC"), row.raw_number("POSACC")
    # The zone's own outline may be doubtful: that says nothing of what lies in it.
    inside_m = stated_m if stated_m is not None and 0.0 < stated_m < 1e6 else None
    return QualityZone(
        catzoc=catzoc if catzoc in _CATZOC else None,
        depth_uncertainty_m=draft.accuracy_m(row),
        surveyed=year_of(row.text("SUREND")) or year_of(row.text("SURSTA")),
        **base | {"position_uncertainty_m": inside_m},
    )


def steering_line(row: Row, draft: Draft) -> None:
    """Keep a recommended track or a leading line, if its bearing tells which way is in.

    The bearing is that of the traffic where it goes one way, else that from seaward: IHO S-57
    edition 3.1, use of the object catalogue, on RECTRC and NAVLNE (from memory).
    """
    bearing_deg, flow = row.raw_number("ORIENT"), row.code("TRAFIC")
    if bearing_deg is None or not 0.0 <= bearing_deg <= 360.0 or flow == _ONE_WAY:
        return
    if "LineString" not in row.geometry.geom_type:
        return
    leading = row.cls == "NAVLNE"
    if leading and row.code("CATNAV") != _LEADING:
        return
    out = flow == _OUTBOUND and not leading
    draft.put(
        "steering_lines",
        SteeringLine(
            inbound_deg=(bearing_deg + (180.0 if out else 0.0)) % 360.0,
            what="leading line" if leading else "recommended track",
            **draft.base(row),
        ),
    )


def year_of(date: str) -> int | None:
    """The year that a date of S-57 begins with (CCYYMMDD, CCYYMM, CCYY), None for anything else."""
    found = re.match(r"[12]\d{3}(?!\d{5})", date)
    return int(found.group(0)) if found else None


def _buoyage(row: Row, draft: Draft, base: dict[str, object]) -> None:
    system, direction = row.code("MARSYS"), row.raw_number("ORIENT")
    if direction is not None and not 0.0 <= direction <= 360.0:
        wrong = f"direction of buoyage {direction:g} is not from 0 to 360 degrees"
        draft.flaw(row, wrong, kind="M_NSYS direction")
        direction = None
    region = REGIONS.get(system or 0, "")
    if not region and system is not None:
        wrong = f"its marks are of no IALA region (MARSYS {system})"
        draft.flaw(row, wrong, kind="M_NSYS system", severity=Severity.NOTE)
    draft.put(
        "buoyage_zones",
        BuoyageZone(
            region=region,
            direction_of_buoyage_deg=None if direction is None else direction % 360.0,
            **base,  # type: ignore[arg-type]
        ),
    )
