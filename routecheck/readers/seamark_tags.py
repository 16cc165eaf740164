"""OpenStreetMap's seamark tags as S-57 classes and attributes.

Tags: the OpenStreetMap wiki, pages Seamarks/Seamark Objects and Seamarks/Seamark Attributes
(``seamark:type=<object>``, ``seamark:<object>:<attribute>=…``); codes: IHO S-57 edition 3.1,
appendix A. What is not known for certain is not guessed: it becomes an object that no check
judges. A stated depth is never more than an unreliable one, since no one states its datum.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from routecheck.readers.charted_marks import SHAPES
from routecheck.readers.doubled import DOUBTS, Said, one_of
from routecheck.readers.fittings import from_tags
from routecheck.readers.s57_classes import MARKS
from routecheck.units import length_m

Tags = Mapping[str, str]
WHY = "_WHY"
"""Value that says why no check judges an object."""
NO_SEAMARK = "no seamark"

CLASSES = {
    # marks
    **{"buoy_lateral": "BOYLAT", "beacon_lateral": "BCNLAT"},
    **{"buoy_cardinal": "BOYCAR", "beacon_cardinal": "BCNCAR"},
    **{"buoy_isolated_danger": "BOYISD", "beacon_isolated_danger": "BCNISD"},
    **{"buoy_safe_water": "BOYSAW", "beacon_safe_water": "BCNSAW"},
    **{"buoy_special_purpose": "BOYSPP", "beacon_special_purpose": "BCNSPP"},
    # dangers
    **{"rock": "UWTROC", "wreck": "WRECKS", "obstruction": "OBSTRN", "gridiron": "GRIDRN"},
    **{"marine_farm": "MARCUL", "fishing_facility": "FSHFAC"},
    # overhead
    **{"bridge": "BRIDGE", "cable_overhead": "CBLOHD", "pipeline_overhead": "PIPOHD"},
    "conveyor": "CONVYR",
    # solid
    **{"shoreline_construction": "SLCONS", "pile": "PILPNT", "mooring": "MORFAC"},
    **{"platform": "OFSPLF", "pontoon": "PONTON", "hulk": "HULKES", "floating_dock": "FLODOC"},
    **{"dam": "DAMCON", "dyke": "DYKCON", "causeway": "CAUSWY", "dry_dock": "DRYDOC"},
    **{"pylon": "PYLONS", "oil_barrier": "OILBAR", "log_pond": "LOGPON", "crane": "CRANES"},
    **{"buoy_installation": "BOYINB", "light_float": "LITFLT", "light_vessel": "LITVES"},
    **{"landmark": "LNDMRK", "building": "BUISGL", "tank": "SILTNK", "coastline": "COALNE"},
    **{"fortified_structure": "FORSTC", "wall": "SLCONS"},
    # areas and lines of which a check needs no more than that they are there
    **{"anchorage": "ACHARE", "anchor_berth": "ACHBRT", "precautionary_area": "PRCARE"},
    **{"separation_zone": "TSEZNE", "separation_line": "TSELNE", "separation_lane": "TSSLPT"},
    **{"inshore_traffic_zone": "ISTZNE", "restricted_area": "RESARE", "lock_basin": "LOKBSN"},
    **{"cable_submarine": "CBLSUB", "cable_area": "CBLARE", "pipeline_area": "PIPARE"},
    **{"dumping_ground": "DMPGRD", "sand_waves": "SNDWAV", "water_turbulence": "WATTUR"},
    **{"weed": "WEDKLP", "ferry_route": "FERYRT", "gate": "GATCON"},
    # harmless, for the reasons that stand beside the classes
    **{"harbour": "HRBFAC", "small_craft_facility": "SMCFAC", "berth": "BERTHS"},
    **{"sea_area": "SEAARE", "seabed_area": "SBDARE", "spring": "SPRING", "fairway": "FAIRWY"},
    **{"pilot_boarding": "PILBOP", "rescue_station": "RSCSTA", "checkpoint": "CHKPNT"},
    **{"coastguard_station": "CGUSTA", "radio_station": "RDOSTA", "radar_station": "RADSTA"},
    **{"calling-in_point": "RDOCAL", "navigation_line": "NAVLNE", "recommended_track": "RECTRC"},
    **{"signal_station_traffic": "SISTAT", "separation_boundary": "TSSBND", "radar_line": "RADLNE"},
    **{"control_point": "CTRPNT", "radar_range": "RADRNG", "distance_mark": "DISMAR"},
}
_ON_ITS_OWN = frozenset(
    {"light_minor", "light_major", "light", "daymark", "topmark", "fog_signal", "notice"}
    | {"radar_reflector", "radar_transponder", "retro_reflector", "waterway_gauge"}
    | {"signal_station_warning"}
)
"""S-57 charts what these are fitted to; here they are the only object, and may be a post."""
LINES = frozenset(
    {"cable_overhead", "cable_submarine", "pipeline_overhead", "pipeline_submarine", "coastline"}
    | {"navigation_line", "recommended_track", "separation_line", "separation_boundary"}
    | {"ferry_route", "radar_line", "conveyor"}
)
"""Objects whose closed ways are no areas."""

_SYSTEMS = {"iala-a": 1, "iala-b": 2}
_LATERAL = {
    **{"port": 1, "starboard": 2},
    **{"preferred_channel_starboard": 3, "preferred_channel_port": 4},
}
_CARDINAL = {"north": 1, "east": 2, "south": 3, "west": 4}
_HANDED = {"lateral": _LATERAL, "cardinal": _CARDINAL}
_MAY_BE_MARKS = frozenset({"light_minor", "light_major", "light", "daymark", "topmark", "pile"})
"""Types that may carry the category of a mark."""
_WATER_LEVEL = {
    **{"part-submerged": 1, "dry": 2, "submerged": 3, "covers": 4, "awash": 5},
    **{"floods": 6, "floating": 7},
}
_WRECK = {
    **{"non-dangerous": 1, "dangerous": 2, "distributed_remains": 3, "mast_showing": 4},
    **{"hull_showing": 5, "hull_visible": 5},
}
_OBSTRUCTION = {
    **{"snag": 1, "stump": 1, "wellhead": 2, "diffuser": 3, "crib": 4, "fish_haven": 5},
    **{"foul_area": 6, "foul_ground": 7, "ice_boom": 8, "ground_tackle": 9, "boom": 10},
}
_BRIDGE = {
    **{"fixed": 1, "opening": 2, "swing": 3, "lifting": 4, "bascule": 5, "pontoon": 6},
    **{"drawbridge": 7, "draw": 7, "transporter": 8, "footbridge": 9, "viaduct": 10},
    **{"aqueduct": 11, "suspension": 12},
}
_RESTRICTION = {
    **{"no_anchoring": 1, "restricted_anchoring": 2, "no_fishing": 3, "restricted_fishing": 4},
    **{"no_trawling": 5, "restricted_trawling": 6, "no_entry": 7, "restricted_entry": 8},
    **{"no_dredging": 9, "restricted_dredging": 10, "no_diving": 11, "restricted_diving": 12},
    **{"no_wake": 13},
}
_CLEARANCES = {
    **{"clearance_height": "VERCLR", "clearance_height_closed": "VERCCL"},
    **{"clearance_height_open": "VERCOP", "clearance_height_safe": "VERCSA"},
    **{"vertical_clearance_safe": "VERCSA", "clearance_width": "HORCLR"},
}
_DEPTH_WORDS = ("depth", "minimum_depth")
_DANGERS = ("UWTROC", "WRECKS", "OBSTRN", "GRIDRN", "MARCUL", "FSHFAC")
_SPANS = ("BRIDGE", "CBLOHD", "PIPOHD", "CONVYR")
_APART = frozenset(
    {*_DANGERS, *_SPANS, "RESARE", "GATCON", "LOKBSN", "TSEZNE", "TSELNE", "TSSLPT", "ISTZNE"}
)
"""Classes that may share an element's place with another, and count beside it."""
_TURBULENCE = {"breakers": 1, "eddies": 2, "overfalls": 3, "tide_rips": 4}
_TRAFFIC = {"inbound": 1, "outbound": 2, "one-way": 3, "two-way": 4}
_UNRELIABLE, _DEPTH_UNKNOWN = 4, 2
_SEA_GRASS, _NOT_INSTALLED, _LEADING = 3, 1, 3


def charted(tags: Tags) -> tuple[str, dict[str, Any]]:
    """(class, S-57 attributes) of an object. A class ``seamark:…`` is one that no check judges;
    `NO_SEAMARK` stands for what is no object of its own.

    >>> charted({"seamark:type": "rock", "seamark:rock:water_level": "awash"})
    ('UWTROC', {'WATLEV': 5})
    """
    kind = tags.get("seamark:type", "").strip().lower()
    if not kind:
        return _untyped(tags)
    kind = _carried(kind, tags)
    said = {
        key.removeprefix(f"seamark:{kind}:"): value.strip()
        for key, value in tags.items()
        if key.startswith(f"seamark:{kind}:")
    }
    values: dict[str, Any] = {}
    name = tags.get("seamark:name") or tags.get("name") or tags.get("ref")
    if name:
        values["OBJNAM"] = name
    if kind in _ON_ITS_OWN:
        return "LNDMRK", values
    if kind == "seagrass":
        return "WEDKLP", values | {"CATWED": _SEA_GRASS}
    cls = CLASSES.get(kind)
    if cls is None:
        why = f"seamark type {kind!r}" if kind.isascii() else "a seamark of an unknown type"
        return f"seamark:{kind}", values | {WHY: why}
    if cls in MARKS:
        why = _mark(cls, said, values)
        values |= from_tags(tags)
    elif cls in _DANGERS:
        why = _danger(cls, said, values)
    elif cls in _SPANS:
        why = _span(said, values)
    else:
        why = _other(cls, said, values)
    if why:
        return f"seamark:{kind}", values | {WHY: f"{kind.replace('_', ' ')} {why}"}
    return cls, values


def _carried(kind: str, tags: Tags) -> str:
    """The beacon that a light, a daymark or a pile is said to be as well, else what it is."""
    if kind not in _MAY_BE_MARKS:
        return kind
    for mark, known in _HANDED.items():
        for body in ("beacon", "buoy"):
            if tags.get(f"seamark:{body}_{mark}:category", "").strip().lower() in known:
                return f"{body}_{mark}"
    return kind


def others(tags: Tags) -> list[dict[str, str]]:
    """The tags of what else an object says that it is, each as of a type of its own: dangers, what
    hangs overhead, and regulated areas. Marks and what stands on them share their tags.

    >>> others({"seamark:type": "harbour", "seamark:rock:water_level": "awash"})
    [{'seamark:type': 'rock', 'seamark:rock:water_level': 'awash'}]
    """
    own = tags.get("seamark:type", "").strip().lower()
    if not own:
        return []
    found = {
        key.removeprefix("seamark:").partition(":")[0]
        for key, value in tags.items()
        if key.startswith("seamark:") and key.count(":") > 1 and value.strip()
    }
    apart = sorted(kind for kind in found - {own} if CLASSES.get(kind) in _APART)
    return [{**tags, "seamark:type": kind} for kind in apart]


def _untyped(tags: Tags) -> tuple[str, dict[str, Any]]:
    """A light or topmark may stand alone without a type; anything else lacks the one it needs."""
    for key in sorted(tags):
        kind = key.removeprefix("seamark:").partition(":")[0]
        if key.startswith("seamark:") and kind in CLASSES:
            return f"seamark:{kind}", {WHY: f"a seamark without a type (with the key {key!r})"}
    return NO_SEAMARK, {}


_SHAPES = {word: code for code, word in SHAPES.items()}


def _mark(cls: str, said: Tags, values: dict[str, Any]) -> str:
    """Fill in a mark; why it cannot be judged, "" where it can."""
    system, category = said.get("system", "").lower(), said.get("category", "").lower()
    if said.get("colour"):
        values["COLOUR"] = said["colour"].replace(";", "-")
    shape = said.get("shape", "").lower()
    if shape in _SHAPES:
        values["BOYSHP"] = _SHAPES[shape]
    if system in _SYSTEMS:
        values["MARSYS"] = _SYSTEMS[system]
    elif system:
        return f"of a system of buoyage ({system!r}) other than IALA's"
    family = MARKS[cls]
    if family == "lateral" and category:
        if category not in _LATERAL:
            return f"of category {category!r} (a bank or rule of a river, no hand)"
        values["CATLAM"] = _LATERAL[category]
    if family == "cardinal" and category:
        # A word that names no quadrant is kept for the reader: the mark then has none stated.
        values["CATCAM"] = _CARDINAL.get(category, category)
    return ""


def _danger(cls: str, said: Tags, values: dict[str, Any]) -> str:
    level = said.get("water_level", "")
    if level:  # a word that is none of these is kept for the reader, to whom it is unknown
        values["WATLEV"] = _WATER_LEVEL.get(level.lower(), level)
    category = said.get("category", "").lower()
    if cls == "WRECKS" and category in _WRECK:
        values["CATWRK"] = _WRECK[category]
    if cls == "OBSTRN" and category in _OBSTRUCTION:
        values["CATOBS"] = _OBSTRUCTION[category]
    depth = _least("VALSOU", _DEPTH_WORDS, said, values)
    if depth is not None:
        values["VALSOU"] = depth
        unknown = said.get("quality", "").lower() in ("unknown", "depth_unknown")
        values["QUASOU"] = str(_DEPTH_UNKNOWN if unknown else _UNRELIABLE)
    return ""


def _clear(said: Tags, values: dict[str, Any]) -> None:
    for attribute in dict.fromkeys(_CLEARANCES.values()):
        words = [word for word, meant in _CLEARANCES.items() if meant == attribute]
        least = _least(attribute, words, said, values)
        if least is not None:
            values[attribute] = least


def _span(said: Tags, values: dict[str, Any]) -> str:
    _clear(said, values)
    kinds = [part.strip() for part in said.get("category", "").lower().split(";")]
    codes = [str(_BRIDGE[kind]) for kind in kinds if kind in _BRIDGE]
    if codes:
        values["CATBRG"] = ",".join(codes)
    return ""


def _least(attribute: str, words: Iterable[str], said: Tags, values: dict[str, Any]) -> Any:
    """The least of what several tags say of one attribute; what differs is kept to be told."""
    told = [Said(column=word, value=_metres(said[word])) for word in words if said.get(word)]
    least, doubts = one_of(attribute, told)
    if doubts:
        values[DOUBTS] = (*values.get(DOUBTS, ()), *doubts)
    return least


def _other(cls: str, said: Tags, values: dict[str, Any]) -> str:
    words = [part.strip() for part in said.get("restriction", "").lower().split(";")]
    codes = [str(_RESTRICTION[word]) for word in words if word in _RESTRICTION]
    if any(words) and len(codes) < len(words):
        return f"with the restriction {said['restriction']!r}"
    if codes:
        values["RESTRN"] = ",".join(codes)
    if cls in ("GATCON", "LOKBSN"):
        _clear(said, values)
    if cls == "RESARE" and not codes:
        return "without a restriction"
    level = said.get("water_level", "")
    if cls == "SBDARE" and level:
        values["WATLEV"] = _WATER_LEVEL.get(level.lower(), level)
    depth = _least("DRVAL1", _DEPTH_WORDS, said, values)
    if depth is not None and cls not in ("DEPARE", "DRGARE"):  # they clear, which tags never do
        values["DRVAL1"] = depth
    if said.get("orientation"):
        values["ORIENT"] = said["orientation"]
    elif cls == "TSSLPT":
        return "without a direction"
    if said.get("traffic_flow", "").lower() in _TRAFFIC:
        values["TRAFIC"] = _TRAFFIC[said["traffic_flow"].lower()]
    if cls == "NAVLNE" and said.get("category", "").lower() == "leading":
        values["CATNAV"] = _LEADING
    if cls == "WATTUR" and said.get("category", "").lower() in _TURBULENCE:
        values["CATWAT"] = _TURBULENCE[said["category"].lower()]
    if cls == "DISMAR" and said.get("category", "").lower() == "not_installed":
        values["CATDIS"] = _NOT_INSTALLED
    if cls == "MORFAC" and said.get("category", "").lower() == "buoy":
        values["CATMOR"] = 7
    return ""


def _metres(text: str) -> str | float:
    """A length in metres; a text that is none stays as it is, to be reported."""
    try:
        return float(text) if len(text) <= 40 else text
    except ValueError:
        pass
    try:
        return length_m(text)
    except ValueError:
        return text
