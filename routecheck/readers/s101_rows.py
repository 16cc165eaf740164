"""S-101 features as rows by S-57 class and attribute, which is what the readers of objects take.

Attributes without a value are unknown and left out, as everywhere. Where S-101 says a thing more
than once (zones of confidence by date, names in two languages) the worse counts, or the first name.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from routecheck.model.objects import MarkKind
from routecheck.model.source import CATZOC_QUALITY
from routecheck.readers.charted import LONGEST_TEXT, codes_of, number_of
from routecheck.readers.charted_marks import colours_of
from routecheck.readers.fittings import TOP_MARKS, top_mark_words
from routecheck.readers.s101_cell import Attr, Cell, Feature
from routecheck.readers.s101_names import (
    CLASSES,
    CODES,
    NEW_WRECK,
    NO_BOTTOM,
    NUMBERS,
    SECTORED,
    TEXTS,
    TIES,
    ZONE_OR_LINE,
)

_FOUL_GROUND, _SEA_GRASS, _NOT_FOUND, _COVERED, _UNASSESSED = 7, 3, 5, 1, 6
_MOORINGS = {"Dolphin": 1, "Bollard": 3, "MooringBuoy": 7}
_OPENS = 2
_MOST_NOTES = 5
_BY_PATH = {
    path: name
    for table in (NUMBERS, CODES, TEXTS, {"OBJNAM": ("featureName.name",)})
    for name, paths in table.items()
    for path in paths
}
_SHOAL_M = 30.0
"""A depth that no boat's draught comes near; what a share of the depth is taken of."""
_SHOALEST = frozenset({"DRVAL1", "DRVAL2", "VALSOU", "VERCLR", "VERCCL", "VERCSA", "HORCLR"})


def class_of(feature: Feature) -> str:
    """The S-57 class of a feature, its own name where there is none."""
    if not feature.places and feature.cls in TIES:
        return "C_AGGR"
    if feature.cls == ZONE_OR_LINE and all(kind < 130 for kind, _, _ in feature.places):
        return "TSELNE"
    return CLASSES.get(feature.cls, feature.cls)


def found(attrs: list[Attr], path: str) -> Iterator[str]:
    """Values at a path such as ``featureName.name``, without unknown ones."""
    head, _, rest = path.partition(".")
    for attr in attrs:
        if attr.name == head:
            if rest:
                yield from found(attr.parts, rest)
            elif attr.text.strip():
                yield attr.text.strip()


def values_of(feature: Feature, cell: Cell) -> dict[str, Any]:
    """The attributes of a feature by S-57 name."""
    attrs = feature.attrs
    values: dict[str, Any] = {}
    stated: dict[str, list[str]] = {}
    _flat(attrs, "", stated)
    for name, texts in stated.items():
        if name in NUMBERS:
            _number(values, name, texts)
        elif name in CODES:
            values[name] = codes_of(texts) or ",".join(texts)
        elif name == "OBJNAM" or len(set(texts)) == 1:
            values[name] = texts[0] if name in ("OBJNAM", "SIGGRP") else _date(texts[0])
        elif name.startswith("SUR"):
            values[name] = min(texts)
        # An object of several seasons is there in all of them: it counts the whole year.
    said = list(_said(attrs))
    for rcid in feature.informed_by[:_MOST_NOTES]:
        said += _told_by(rcid, cell)
    if said:
        values["INFORM"] = "; ".join(dict.fromkeys(said))[: 4 * LONGEST_TEXT]
    for name, at in (
        ("SOUACC", "verticalUncertainty"),
        ("POSACC", "horizontalPositionUncertainty"),
    ):
        worst = _uncertainty(attrs, at, number_of(values.get("VALSOU")))
        if worst is not None:
            values[name] = worst
    _by_class(feature, values)
    return values


def _flat(attrs: list[Attr], above: str, stated: dict[str, list[str]]) -> None:
    """What is stated of each S-57 attribute, without unknown values."""
    for attr in attrs:
        path = above + attr.name
        if attr.parts:
            _flat(attr.parts, path + ".", stated)
        text = attr.text.strip()
        if text and path in _BY_PATH:
            stated.setdefault(_BY_PATH[path], []).append(text)


def _date(text: str) -> str:
    """A date as S-57 writes it: ``--0401`` for one that S-101 gives as ``----0401``."""
    yearless = text.startswith("-")
    return ("--" if yearless else "") + text.strip("-")


def _number(values: dict[str, Any], name: str, texts: list[str]) -> None:
    """The one number; of several depths the shoalest, of several codes none that counts as one."""
    numbers = [number_of(text) for text in texts]
    if not texts:
        return
    if any(number is None for number in numbers):
        values[name] = texts[0]  # its reader says that it is no number
    elif len(set(numbers)) == 1 or name in _SHOALEST:
        values[name] = min(number for number in numbers if number is not None)
    else:
        values[name] = ",".join(texts)


def _said(attrs: list[Attr]) -> Iterator[str]:
    """Notes, in English where there is English."""
    notes = [attr for attr in attrs if attr.name == "information"]
    english = [note for note in notes if "eng" in found(note.parts, "language")]
    for note in english or notes:
        yield from found(note.parts, "text")


def _told_by(rcid: int, cell: Cell) -> list[str]:
    """Notes of an information type, worked out once."""
    if rcid not in cell.notes:
        about = cell.information.get(rcid)
        told = about is not None and about.cls == "NauticalInformation"
        cell.notes[rcid] = list(_said(about.attrs))[:_MOST_NOTES] if about and told else []
    return cell.notes[rcid]


def _uncertainty(attrs: list[Attr], name: str, depth_m: float | None) -> float | None:
    """The fixed part and the share of the depth, at the depth stated or else a deep one."""
    sums = []
    for attr in attrs:
        if attr.name == name:
            fixed = number_of(next(found(attr.parts, "uncertaintyFixed"), None))
            share = number_of(next(found(attr.parts, "uncertaintyVariableFactor"), None))
            if fixed is not None or share is not None:
                deep = _SHOAL_M if depth_m is None else abs(depth_m)
                sums.append(abs(fixed or 0.0) + abs(share or 0.0) * deep)
    return max(sums, default=None)


def _by_class(feature: Feature, values: dict[str, Any]) -> None:
    cls = feature.cls
    if cls == "DataCoverage":
        values["CATCOV"] = _COVERED
    elif cls == "QualityOfBathymetricData":
        _confidence(feature.attrs, values)
    elif cls == "QualityOfNonBathymetricData":
        fixed = next(found(feature.attrs, "horizontalPositionUncertainty.uncertaintyFixed"), None)
        if fixed is not None:
            values.setdefault("POSACC", fixed)  # its reader says that it is no number
    elif cls == "FoulGround":
        values["CATOBS"] = _FOUL_GROUND
    elif cls == "Seagrass":
        values["CATWED"] = _SEA_GRASS
    elif cls == NO_BOTTOM:
        values["QUASOU"] = (*codes_of(values.get("QUASOU")), _NOT_FOUND)
    elif cls == "SpanOpening":
        values["CATBRG"] = (*codes_of(values.get("CATBRG")), _OPENS)
    elif cls in _MOORINGS:
        values["CATMOR"] = _MOORINGS[cls]
    elif cls in NEW_WRECK:
        values["_KIND"] = MarkKind.EMERGENCY_WRECK.value
    elif cls == "NavigationalSystemOfMarks":
        values.pop("ORIENT", None)
    top = next((attr for attr in feature.attrs if attr.name == "topmark"), None)
    if top is not None:
        codes = codes_of(next(found(top.parts, "topmarkDaymarkShape"), ""))
        shape = TOP_MARKS.get(codes[0] if codes else 0, "")
        words = top_mark_words(shape, colours_of([*found(top.parts, "colour")]))
        if words:
            values["_TOP_MARK"] = words


def _confidence(attrs: list[Attr], values: dict[str, Any]) -> None:
    """The worst of the zones of confidence, which may follow each other by date; what they state
    in metres only where it is worse than the category's own."""
    zones = [attr for attr in attrs if attr.name == "zoneOfConfidence"]
    worst = 0
    for zone in zones:
        codes = codes_of(next(found(zone.parts, "categoryOfZoneOfConfidenceInData"), ""))
        worst = max(worst, codes[0] if codes and codes[0] in CATZOC_QUALITY else _UNASSESSED)
    if worst:
        values["CATZOC"] = worst
    known = CATZOC_QUALITY.get(worst)
    parts = [part for zone in zones for part in zone.parts]
    depth_m = _uncertainty(parts, "verticalUncertainty", None)
    if depth_m is not None and (known is None or depth_m > known.vertical_uncertainty_m(_SHOAL_M)):
        values["SOUACC"] = depth_m
    place_m = _uncertainty(parts, "horizontalPositionUncertainty", None)
    if place_m is not None and (known is None or place_m > known.belt_m(_SHOAL_M)):
        values["POSACC"] = place_m


def sectors(feature: Feature) -> list[dict[str, Any]]:
    """The sectors of a light as rows of lights, one each."""
    made = []
    if feature.cls == SECTORED:
        height = number_of(next(found(feature.attrs, "height"), None))
        for part in feature.attrs:
            if part.name == "sectorCharacteristics":
                for sector in part.parts:
                    if sector.name == "lightSector":
                        made.append(_sector(part.parts, sector.parts, height))
    return made


_SECTOR = {
    "SECTR1": "sectorLimit.sectorLimitOne.sectorBearing",
    "SECTR2": "sectorLimit.sectorLimitTwo.sectorBearing",
    "VALNMR": "valueOfNominalRange",
}


def _sector(rhythm: list[Attr], sector: list[Attr], height: float | None) -> dict[str, Any]:
    row: dict[str, Any] = {"COLOUR": codes_of([*found(sector, "colour")])}
    for name, path in _SECTOR.items():
        _number(row, name, [*found(sector, path)][:1])
    _number(row, "LITCHR", [*found(rhythm, "lightCharacteristic")][:1])
    _number(row, "SIGPER", [*found(rhythm, "signalPeriod")][:1])
    group = next(found(rhythm, "signalGroup"), None)
    return (
        row
        | ({} if group is None else {"SIGGRP": group})
        | ({} if height is None else {"HEIGHT": height})
    )
