"""Regulated areas, routeing, cables, ferries and the like, out of rows."""

from __future__ import annotations

import re

from routecheck.model import restriction
from routecheck.model.areas import Area, AreaKind
from routecheck.model.objects import Solid, SolidKind
from routecheck.model.period import Period
from routecheck.readers.charted import Draft, Row
from routecheck.readers.charted_solids import span

AREAS = {
    "RESARE": AreaKind.RESTRICTED,
    "CTNARE": AreaKind.CAUTION,
    "MIPARE": AreaKind.MILITARY,
    "OSPARE": AreaKind.OFFSHORE,
    "PRDARE": AreaKind.PRODUCTION,
    "SPLARE": AreaKind.SEAPLANES,
    "SUBTLN": AreaKind.SUBMARINES,
    "ACHARE": AreaKind.ANCHORAGE,
    "ACHBRT": AreaKind.ANCHOR_BERTH,
    "CTSARE": AreaKind.TRANSHIPMENT,
    "ICNARE": AreaKind.INCINERATION,
    "TSSLPT": AreaKind.LANE,
    "TSEZNE": AreaKind.SEPARATION_ZONE,
    "TSELNE": AreaKind.SEPARATION_LINE,
    "TSSCRS": AreaKind.LANE_CROSSING,
    "TSSRON": AreaKind.ROUNDABOUT,
    "PRCARE": AreaKind.PRECAUTIONARY,
    "ISTZNE": AreaKind.INSHORE_ZONE,
    "DWRTPT": AreaKind.DEEP_WATER_ROUTE,
    "TWRTPT": AreaKind.TWO_WAY_ROUTE,
    "RCTLPT": AreaKind.RECOMMENDED_DIRECTION,
    "FERYRT": AreaKind.FERRY,
    "LOKBSN": AreaKind.LOCK,
    "CBLSUB": AreaKind.CABLE,
    "CBLARE": AreaKind.CABLE_AREA,
    "PIPSOL": AreaKind.PIPELINE,
    "PIPARE": AreaKind.PIPELINE_AREA,
    "DMPGRD": AreaKind.DUMPING_GROUND,
    "SNDWAV": AreaKind.SAND_WAVES,
    "FSHGRD": AreaKind.FISHING_GROUND,
    "ICEARE": AreaKind.ICE,
    "WATTUR": AreaKind.TURBULENCE,
    "WEDKLP": AreaKind.WEED,
}
"""Classes of which every object is an area or line that a check judges."""
TRACKS = {
    "RECTRC": AreaKind.RECOMMENDED_TRACK,
    "RCRTCL": AreaKind.RECOMMENDED_TRACK,
    "DWRTCL": AreaKind.DEEP_WATER_ROUTE,
    "FAIRWY": AreaKind.FAIRWAY,
}
"""Classes that are judged where they are one way or restricted, and are harmless else."""
_CATEGORY = {
    **{"RESARE": "CATREA", "MIPARE": "CATMPA", "ACHARE": "CATACH", "ACHBRT": "CATACH"},
    **{"FERYRT": "CATFRY", "CBLSUB": "CATCBL", "PIPSOL": "CATPIP", "PIPARE": "CATPIP"},
    **{"DMPGRD": "CATDPG", "WATTUR": "CATWAT", "WEDKLP": "CATWED", "GATCON": "CATGAT"},
}
WATER = frozenset({"CANALS", "DOCARE"})
"""Of the classes of inland water those that may have HORCLR: IHO S-57 ed. 3.1, appendix A (from
memory)."""
_ONE_WAY = frozenset({1, 2, 3})
_TWO_WAY = 4
"""TRAFIC: IHO S-57 edition 3.1, appendix A, attribute 172."""
_DYKE_GATE = 5
"""CATGAT, attribute 29."""
_BY_WORDS = {words: code for code, words in restriction.WORDS.items() if code}


def area(row: Row, draft: Draft) -> bool:
    """One area or line of a class of `AREAS` or `TRACKS`."""
    kind = AREAS.get(row.cls) or TRACKS[row.cls]
    attribute = _CATEGORY.get(row.cls)
    put(row, draft, kind, row.codes(attribute) if attribute else ())
    return True


def put(row: Row, draft: Draft, kind: AreaKind, categories: tuple[int, ...] = ()) -> None:
    """Add an area of a kind. One of another class, for its restrictions, is `RESTRICTED`."""
    draft.put(
        "areas",
        Area(
            kind=kind,
            categories=categories,
            restrictions=restrictions_of(row),
            orientation_deg=_orientation_deg(row, draft),
            one_way=one_way(row),
            period=period_of(row),
            status=row.codes("STATUS"),
            information=row.text("INFORM"),
            horizontal_clearance_m=draft.height_m(row, "HORCLR"),
            **draft.base(row, alone=True),
        ),
    )


def gate(row: Row, draft: Draft) -> bool:
    """GATCON: a gate to go through; a dyke gate is part of a dyke. What hangs over it is judged
    as any span."""
    if row.code("CATGAT") == _DYKE_GATE:
        draft.put("solids", Solid(kind=SolidKind.STRUCTURE, **draft.base(row)))
        return True
    if draft.height_m(row, "VERCLR") is not None:
        span(row, draft)
    put(row, draft, AreaKind.GATE, row.codes("CATGAT"))
    return True


def narrow(row: Row) -> bool:
    """Whether it is water that says how wide a boat may be: a canal, a dock."""
    return row.cls in WATER and row.values.get("HORCLR") not in (None, "")


def tunnel(row: Row, draft: Draft) -> bool:
    """TUNNEL: one with a clearance is gone through by boat, another lies below the bed."""
    if "VERCLR" in row.values or "HORCLR" in row.values:
        return span(row, draft)
    put(row, draft, AreaKind.TUNNEL)
    return True


def one_way(row: Row) -> bool:
    """Whether its traffic goes one way only. Lanes do; a recommended direction does unless it is
    charted as two-way."""
    if row.cls == "TSSLPT":
        return True
    flow = row.code("TRAFIC")
    return flow != _TWO_WAY if row.cls == "RCTLPT" else flow in _ONE_WAY


def restricts(row: Row) -> bool:
    """Whether it states a restriction that concerns a boat which passes."""
    return not set(restrictions_of(row)) <= restriction.NOT_FOR_PASSING


def restrictions_of(row: Row) -> tuple[int, ...]:
    """RESTRN as codes, also from words; `restriction.UNREAD` for what cannot be read."""
    value = row.values.get("RESTRN")
    if value is None or value == "":
        return ()
    codes = row.codes("RESTRN")
    if not codes and isinstance(value, str):
        parts = [" ".join(part.split()).lower() for part in re.split(r"[,;]", value[:300])]
        codes = tuple(_BY_WORDS.get(part, restriction.UNREAD) for part in parts if part)
    return tuple(dict.fromkeys(codes)) or (restriction.UNREAD,)


def period_of(row: Row) -> Period:
    """The dates and the season that it states."""
    return Period(
        date_start=row.text("DATSTA"),
        date_end=row.text("DATEND"),
        season_start=row.text("PERSTA"),
        season_end=row.text("PEREND"),
    )


def _orientation_deg(row: Row, draft: Draft) -> float | None:
    stated = row.raw_number("ORIENT")
    if stated is not None and not 0.0 <= stated <= 360.0:
        draft.flaw(
            row,
            f"its direction {stated:g} is not from 0 to 360 degrees and was left out",
            kind=f"{row.cls} direction",
        )
        return None
    return None if stated is None else stated % 360.0
