"""A chart of a world as rows of S-57: (class, shape, attributes), for cells and vector files."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

VERDAT = {"LAT": 23, "MLLW": 12, "MSL": 3, "MHWS": 17, "HAT": 30}
_COLOUR = {"red": 3, "green": 4, "black": 2, "yellow": 6}
CATCAM = {"north": 1, "east": 2, "south": 3, "west": 4}
CATLAM = {
    **{"port-hand": 1, "starboard-hand": 2},
    **{"preferred-channel-to-starboard": 3, "preferred-channel-to-port": 4},
}
AREAS = {
    **{"restricted area": "RESARE", "caution area": "CTNARE", "military practice area": "MIPARE"},
    **{"offshore production area": "OSPARE", "production or storage area": "PRDARE"},
    **{"seaplane landing area": "SPLARE", "submarine transit lane": "SUBTLN"},
    **{"anchorage area": "ACHARE", "anchor berth": "ACHBRT", "cargo transhipment area": "CTSARE"},
    **{"incineration area": "ICNARE", "traffic lane": "TSSLPT"},
    **{"traffic separation zone": "TSEZNE", "traffic separation line": "TSELNE"},
    **{"crossing of traffic lanes": "TSSCRS", "traffic roundabout": "TSSRON"},
    **{"precautionary area": "PRCARE", "inshore traffic zone": "ISTZNE", "fairway": "FAIRWY"},
    **{"deep-water route": "DWRTPT", "two-way route": "TWRTPT", "ferry route": "FERYRT"},
    **{"recommended direction of traffic flow": "RCTLPT", "recommended track": "RECTRC"},
    **{"lock basin": "LOKBSN", "gate": "GATCON", "submarine cable": "CBLSUB"},
    **{"submarine cable area": "CBLARE", "submarine pipeline": "PIPSOL", "pipeline area": "PIPARE"},
    **{"dumping ground": "DMPGRD", "sand waves": "SNDWAV", "fishing ground": "FSHGRD"},
    **{"ice area": "ICEARE", "troubled water": "WATTUR", "weed or kelp": "WEDKLP"},
}
"""A marine farm is a danger under water there, an unknown class has no code."""
_CATEGORY = {"RESARE": "CATREA", "FERYRT": "CATFRY", "PIPSOL": "CATPIP", "DMPGRD": "CATDPG"}
_PERIOD = {"date": ("DATSTA", "DATEND"), "season": ("PERSTA", "PEREND")}
_OPENING, _FIXED, _POWER, _TELEPHONE = 2, 1, 1, 4
# Which classes have the attributes: IHO S-57 edition 3.1, appendix A, chapter 1.
_WITH_RESTRN = {
    *("RESARE", "MIPARE", "OSPARE", "SUBTLN", "ACHARE", "ICNARE", "TSSLPT", "TSSCRS", "TSSRON"),
    *("PRCARE", "ISTZNE", "FAIRWY", "DWRTPT", "CBLARE", "PIPARE", "DMPGRD"),
}
_WITHOUT_SEASON = {
    *("OSPARE", "PRDARE", "SUBTLN", "TSSLPT", "TSEZNE", "TSELNE", "TSSCRS", "TSSRON", "PRCARE"),
    *("ISTZNE", "FAIRWY", "DWRTPT", "RCTLPT", "LOKBSN", "GATCON", "CBLSUB", "CBLARE", "PIPSOL"),
    *("PIPARE", "DMPGRD", "SNDWAV", "WATTUR", "WEDKLP"),
}
_WITHOUT_DATES = {
    *("SPLARE", "SUBTLN", "ICNARE", "DMPGRD", "SNDWAV", "FSHGRD", "ICEARE", "WATTUR", "WEDKLP"),
}
_TWO_WAY_OR_ONE = ("FAIRWY", "DWRTPT", "TWRTPT", "RECTRC")
Row = tuple[str, BaseGeometry, dict[str, Any]]


def rows(chart: dict[str, Any]) -> Iterator[Row]:
    """All that a chart of a told world holds."""
    ring, line, point = shapely.Polygon, shapely.LineString, shapely.Point
    for zone in chart["qualities"]:
        yield "M_QUAL", ring(zone["ring"]), {"CATZOC": zone["catzoc"]}
    for zone in chart["datum_zones"]:
        yield "M_SDAT", ring(zone["ring"]), {"VERDAT": VERDAT[zone["datum"]]}
    for zone in chart["buoyage"]:
        stated: dict[str, Any] = {"MARSYS": 1 if zone["region"] == "A" else 2}
        if zone["direction_deg"] is not None:
            stated["ORIENT"] = zone["direction_deg"]
        yield "M_NSYS", ring(zone["ring"]), stated
    for area in chart["areas"]:
        depth = area["depth_m"]
        stated = {} if depth is None else {"DRVAL1": depth, "DRVAL2": depth + 10.0}
        yield "DEPARE", ring(area["ring"]), stated
    for one in chart["contours"]:
        yield "DEPCNT", line(one["line"]), {"VALDCO": one["depth_m"]}
    for one in chart["soundings"]:
        yield "SOUNDG", point(one["at"]), {"VALSOU": one["depth_m"]}
    for one in chart["dangers"]:
        stated = {} if one["depth_m"] is None else {"VALSOU": one["depth_m"]}
        yield "UWTROC", point(one["at"]), stated
    for one in chart["lands"]:
        yield "LNDARE", ring(one["ring"]), {}
    for one in chart["unsurveyed"]:
        yield "UNSARE", ring(one["ring"]), {}
    for one in chart["spans"]:
        yield "BRIDGE" if one["bridge"] else "CBLOHD", line(one["line"]), _span(one)
    for one in chart["marks"]:
        yield _mark(one)
    for one in chart["regulated"]:
        if one["kind"] in AREAS:
            shape = {"ring": ring, "line": line, "point": point}[one["shape"]]
            yield AREAS[one["kind"]], shape(one["at"]), _area(one)


def told_areas(regulated: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """What S-57 can say of areas and lines: no restriction, date or way of traffic where the class
    has none."""
    made = []
    for one in regulated:
        cls = AREAS.get(one["kind"])
        if cls is None:
            continue
        codes = one["restrictions"] if cls in _WITH_RESTRN else ()
        without = {"season": _WITHOUT_SEASON, "date": _WITHOUT_DATES}.get(one["period"][0], set())
        told = {
            "accuracy_m": None,
            "one_way": cls == "RCTLPT" or (one["one_way"] and cls in _TWO_WAY_OR_ONE),
            "restrictions": codes,
            "status": one["status"] if codes else (),
            "categories": (2,) if one["categories"] == (1, 2) else one["categories"],
            "period": ("", "", "") if cls in without else one["period"],
        }
        made.append({**one, **told})
    return made


def _mark(one: dict[str, Any]) -> Row:
    cls, key, code = (
        ("BOYCAR", "CATCAM", CATCAM[one["kind"]])
        if one["kind"] in CATCAM
        else ("BOYLAT", "CATLAM", CATLAM[one["kind"]])
    )
    stated: dict[str, Any] = {key: code, "BOYSHP": 1}
    if one["colours"]:
        stated["COLOUR"] = ",".join(str(_COLOUR[c]) for c in one["colours"])
    return cls, shapely.Point(one["at"]), stated


def _span(one: dict[str, Any]) -> dict[str, Any]:
    stated = {
        "VERCLR": one["clearance_m"],
        "VERCCL": one["closed_m"],
        "VERCOP": one["open_m"],
        "VERCSA": one["safe_m"],
        "VERDAT": VERDAT[one["datum"]],
    }
    if one["bridge"]:
        stated["CATBRG"] = _OPENING if one["opens"] else _FIXED
    else:
        stated["CATCBL"] = _POWER if one["electric"] else _TELEPHONE
    return {key: value for key, value in stated.items() if value is not None}


def _area(one: dict[str, Any]) -> dict[str, Any]:
    def listed(codes: tuple[int, ...]) -> str:
        return ",".join(map(str, codes))

    cls = AREAS[one["kind"]]
    stated: dict[str, Any] = {"ORIENT": one["orientation_deg"], "HORCLR": one["width_m"]}
    if cls in _CATEGORY and one["categories"]:
        stated[_CATEGORY[cls]] = listed(one["categories"])
    if one["restrictions"]:
        stated["RESTRN"] = listed(one["restrictions"])
    if one["status"]:
        stated["STATUS"] = listed(one["status"])
    if cls in _TWO_WAY_OR_ONE:
        stated["TRAFIC"] = 3 if one["one_way"] else 4
    sort, start, end = one["period"]
    for key, text in zip(_PERIOD.get(sort, ()), (start, end), strict=bool(sort)):
        if text:
            stated[key] = text
    return {key: value for key, value in stated.items() if value is not None}
