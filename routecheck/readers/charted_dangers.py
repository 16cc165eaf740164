"""Rocks, wrecks, obstructions and the like, out of rows, by the logic of the standard.

Attributes: IHO S-57 edition 3.1, appendix A, chapter 2: VALSOU 179, QUASOU 125, EXPSOU 93,
WATLEV 187, CATWRK 71, CATOBS 42.
"""

from __future__ import annotations

from routecheck.model.chart import Severity
from routecheck.model.objects import Danger, DangerKind
from routecheck.readers.charted import Draft, Row
from routecheck.readers.charted_depths import same_datum, unreliable
from routecheck.readers.third import shoaler_of, tell_alone

KINDS = {
    "UWTROC": DangerKind.ROCK,
    "WRECKS": DangerKind.WRECK,
    "OBSTRN": DangerKind.OBSTRUCTION,
    "GRIDRN": DangerKind.OBSTRUCTION,
    "PIPSOL": DangerKind.OBSTRUCTION,
    "CBLSUB": DangerKind.OBSTRUCTION,
    "MARCUL": DangerKind.MARINE_FARM,
    "FSHFAC": DangerKind.FISHING_GEAR,
    "SBDARE": DangerKind.GROUND,
}
WATER_LEVEL = {
    1: "partly submerged at high water",
    2: "always dry",
    3: "always under water",
    4: "covers and uncovers",
    5: "awash",
    6: "subject to flooding",
    7: "floating",
}
_UNDER_WATER, _UNCOVERS, _AWASH = 3, 4, 5
_STANDS_OUT = frozenset({1, 2, 6, 7})
_SHOWS = {4: "its masts show at chart datum", 5: "its hull or superstructure shows at chart datum"}
_NON_DANGEROUS, _REMAINS = 1, 3
_FOUL_AREA, _FOUL_GROUND = 6, 7
_BOOMS = frozenset({8, 10})
_DEPTH_UNKNOWN = 2
_NOT_SHOALER = frozenset({1, 3})

DRIES_M = -15.0
NON_DANGEROUS_M = 20.1
JUST_COVERED_M = 0.01
"""Depths that the display rules of the IHO take where none is known: S-52 PresLib 4.0,
procedures OBSTRN07 and WRECKS05, as the S-101 portrayal catalogue has them."""


_LEVEL_WORDS = {words: code for code, words in WATER_LEVEL.items()} | {
    **{"part-submerged": 1, "partly submerged": 1, "dry": 2, "submerged": 3, "covers": 4},
    **{"drying": 4, "dries": 4, "uncovers": 4, "covers & uncovers": 4, "floods": 6},
}
"""WATLEV in words, as files other than cells have it."""


def level_of(row: Row) -> int | None:
    """WATLEV as a code from 1 to 7, from a code or from words; None where it says neither."""
    code = row.code("WATLEV")
    if code is None:
        code = _LEVEL_WORDS.get(" ".join(row.text("WATLEV").lower().split()))
    return code if code in WATER_LEVEL else None


def water_level(row: Row, draft: Draft) -> int | None:
    """The same, and told where something is stated that no one understands."""
    code, said = level_of(row), row.text("WATLEV")
    if code is None and said:
        wrong = f"its water level “{said[:40]}” is not understood"
        draft.flaw(row, wrong, kind=f"{row.cls} water level")
    return code


def shows(row: Row) -> bool:
    """Whether a seabed area (SBDARE) is said not to be always under water, or said to be something
    that is not understood."""
    return row.cls == "SBDARE" and bool(row.text("WATLEV")) and level_of(row) != _UNDER_WATER


def seabed(row: Row, draft: Draft) -> bool:
    """SBDARE with a water level. Its depth is that of the depth area round it, where that dries as
    it does; else it is not known."""
    if water_level(row, draft) is not None:
        danger(row, draft)
    return True


def danger(row: Row, draft: Draft) -> bool:
    """UWTROC, WRECKS, OBSTRN and the like. A depth marked as unknown is no depth, nor is one that
    does not go with what else is charted."""
    depth = _charted_depth_m(row, draft)
    if depth is not None:
        same_datum(row, draft)
    level = water_level(row, draft)
    wreck = row.code("CATWRK") if row.cls == "WRECKS" else None
    obstruction = row.code("CATOBS") if row.cls == "OBSTRN" else None
    kind, harmless = KINDS[row.cls], False
    if obstruction == _FOUL_GROUND:
        kind = DangerKind.FOUL_GROUND
    if obstruction == _FOUL_GROUND or wreck in (_NON_DANGEROUS, _REMAINS):
        harmless = level in (None, _UNDER_WATER)
    shows = wreck in _SHOWS and depth is None
    boom = obstruction in _BOOMS and level != _UNDER_WATER
    in_range = row.cls == "SBDARE" or row.code("EXPSOU") in _NOT_SHOALER
    if depth is None and (in_range or harmless):
        tell_alone(row, draft)
    words = [WATER_LEVEL.get(level or 0, ""), _SHOWS.get(wreck or 0, "")]
    draft.put(
        "dangers",
        Danger(
            kind=kind,
            charted_depth_m=depth,
            depth_in_area_range=in_range,
            dangerous=not harmless,
            stands_out=level in _STANDS_OUT or shows or boom,
            uncovers=level in (_UNCOVERS, _AWASH),
            default_depth_m=default_depth_m(row) if depth is None else None,
            water_level=", ".join(word for word in words if word),
            unreliable=unreliable(row),
            depth_uncertainty_m=draft.accuracy_m(row),
            **draft.base(row),
        ),
    )
    return True


def _charted_depth_m(row: Row, draft: Draft) -> float | None:
    """The depth over it, None where it is not known."""
    depth = draft.depth_m(row, "DRVAL1" if row.cls in ("PIPSOL", "CBLSUB") else "VALSOU")
    if depth is None or _DEPTH_UNKNOWN in row.codes("QUASOU"):
        return None
    depth = shoaler_of(row, depth, draft)
    level = level_of(row)
    if depth > 0.0 and level == _AWASH:
        return 0.0
    shows = row.cls == "WRECKS" and row.code("CATWRK") in _SHOWS
    if depth > 0.0 and (level == _UNCOVERS or shows):
        what = WATER_LEVEL[_UNCOVERS] if level == _UNCOVERS else _SHOWS[row.code("CATWRK") or 0]
        draft.flaw(
            row,
            f"a depth of {depth:g} m over it does not go with “{what}”: it counts as unknown",
            kind=f"{row.cls} depth and water level",
            severity=Severity.NOTE,
        )
        return None
    return depth


def default_depth_m(row: Row) -> float | None:
    """What the display rules of the IHO take where no depth is known; None where they have none,
    as for remains of wrecks, and for foul ground, which nobody is meant to strike."""
    level = level_of(row)
    if row.cls == "WRECKS":
        if row.code("CATWRK") == _NON_DANGEROUS:
            return NON_DANGEROUS_M
        if row.code("CATWRK") == _REMAINS:
            return None
        return 0.0 if level in (_UNDER_WATER, _AWASH) else DRIES_M
    if row.cls == "OBSTRN" and row.code("CATOBS") in (_FOUL_GROUND, *_BOOMS):
        return None
    if row.cls in ("UWTROC", "OBSTRN"):
        foul = row.cls == "OBSTRN" and row.code("CATOBS") == _FOUL_AREA
        if foul or level == _UNDER_WATER:
            return JUST_COVERED_M
        return 0.0 if level == _AWASH else DRIES_M
    return None
