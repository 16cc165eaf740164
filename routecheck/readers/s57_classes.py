"""What becomes of each S-57 object class: judged, harmless to a hull, or not assessed.

Classes: IHO S-57 edition 3.1, appendix A, chapter 1. A class stands among the harmless ones only
for the reason beside it; what is neither judged nor harmless is not assessed where one of its
objects touches the corridor. What is fitted to a structure or lies on land is harmless only where
that is charted, too (`mounted`). Land features that may as well stand in the water (towers, tanks,
cranes, fences) count as solid: on land they change nothing, since the land under them is charted.
"""

from __future__ import annotations

from routecheck.model.objects import SolidKind

NUMBERS = (
    *("PRIM", "OBJL", "AGEN", "FIDN", "FIDS", "DRVAL1", "DRVAL2", "VALDCO", "VALSOU", "WATLEV"),
    *("EXPSOU", "CATWRK", "CATOBS", "CATFIF", "CATMFA", "CATLAM", "CATCAM", "MARSYS", "ORIENT"),
    *("VERCLR", "VERCCL", "VERCOP", "VERCSA", "VERDAT", "HEIGHT", "CATZOC", "CATCOV", "CSCALE"),
    *("CATFRY", "CATDIS", "CATWED", "CATWAT", "CATMOR", "CATINB", "CATGAT", "CATSLC", "TRAFIC"),
    *("BOYSHP", "CATPYL", "HORCLR", "SOUACC", "POSACC"),
    # what is fitted to marks
    *("TOPSHP", "LITCHR", "SIGPER", "VALNMR", "SECTR1", "SECTR2"),
    "CATNAV",
)
"""Attributes that are numbers or one code."""
TEXTS = (
    *("OBJNAM", "NOBJNM", "INFORM", "SORDAT", "SURSTA", "SUREND"),
    *("DATSTA", "DATEND", "PERSTA", "PEREND", "SIGGRP"),
    *("QUASOU", "TECSOU", "COLOUR", "COLPAT", "RESTRN", "CATREA", "STATUS", "CATBRG", "CATSPM"),
    *("CATPIP", "CATLMK", "CATDPG", "CATCBL", "CATMPA", "CATACH", "NATSUR", "SHIPAM"),
)
"""Attributes that are text or a list of codes."""
LISTS = frozenset(TEXTS[TEXTS.index("QUASOU") : TEXTS.index("SHIPAM")])

AFLOAT = frozenset({"BOYINB", "LITFLT", "LITVES"})
"""Moored, the size of a ship or of a large buoy with hoses and chains to it."""
LAND, COAST, BUILT = SolidKind.LAND, SolidKind.COASTLINE, SolidKind.STRUCTURE
SOLIDS = {
    "LNDARE": LAND,
    "COALNE": COAST,
    # banks and shores of inland waters, and what falls down between them
    **dict.fromkeys(("CANBNK", "RIVBNK", "LAKSHR", "RAPIDS", "WATFAL"), COAST),
    # built in the water
    **dict.fromkeys(
        ("SLCONS", "PILPNT", "MORFAC", "OFSPLF", "PONTON", "HULKES", "FLODOC", "DAMCON", "DYKCON"),
        BUILT,
    ),
    **dict.fromkeys(("CAUSWY", "DRYDOC", "PYLONS", "OILBAR", "LOGPON"), BUILT),
    **dict.fromkeys(AFLOAT, BUILT),
    # mostly ashore, but lighthouses, wind turbines, forts and tanks stand in the sea too
    **dict.fromkeys(("LNDMRK", "BUISGL", "SILTNK", "FORSTC", "CRANES", "FNCLNE", "RUNWAY"), BUILT),
}

_ASHORE = "ashore, on land that is charted itself"
_WORDS = "names, limits or jurisdiction; nothing there to strike"
_MOUNTED = "fitted to a mark or structure that is charted itself"
_SERVICE = "a service, on a structure or land that is charted itself"
_FLOW = "tells how the water moves; depths and solids stand in their own objects"
_TRACK = "a line to steer by, without extent of its own; one-way ones are judged"
_RADIO = "radio or radar: nothing there to strike"
_PAPER = "tells of the chart itself"
HARMLESS = {
    **dict.fromkeys(
        ("ADMARE", "CONZNE", "COSARE", "CUSZNE", "EXEZNE", "FRPARE", "FSHZNE", "HRBARE", "SEAARE"),
        _WORDS,
    ),
    **dict.fromkeys(("STSLNE", "TESARE", "ARCSLN", "ASLXIS"), _WORDS),
    **dict.fromkeys(
        ("AIRARE", "BUAARE", "LNDELV", "LNDRGN", "RAILWY", "ROADWY", "SLOTOP", "SLOGRD", "SQUARE"),
        _ASHORE,
    ),
    "CTRPNT": _ASHORE,
    **dict.fromkeys(("LIGHTS", "DAYMAR", "TOPMAR", "FOGSIG", "RETRFL", "RADRFL"), _MOUNTED),
    **dict.fromkeys(
        ("BERTHS", "CGUSTA", "CHKPNT", "HRBFAC", "PILBOP", "RSCSTA", "SISTAT", "SISTAW", "SMCFAC"),
        _SERVICE,
    ),
    **dict.fromkeys(
        ("RADLNE", "RADRNG", "RADSTA", "RDOCAL", "RDOSTA", "RTPBCN"),
        _RADIO,
    ),
    **dict.fromkeys(
        ("CURENT", "T_HMON", "T_NHMN", "T_TIMS", "TS_FEB", "TS_PAD", "TS_PNH", "TS_PRH", "TS_TIS"),
        _FLOW,
    ),
    **dict.fromkeys(("NAVLNE", "RECTRC", "RCRTCL", "DWRTCL"), _TRACK),
    "FAIRWY": "advises where to go; depths and one-way ones are judged",
    "TSSBND": "the outer edge of a traffic separation scheme, whose parts are judged themselves",
    "SBDARE": "the nature of the bottom; what is not always under water is judged",
    "SPRING": "fresh water that wells up; the depth is not changed",
    "SWPARE": "says how deep the water was swept, which is judged; adds no danger else",
    **dict.fromkeys(
        ("CANALS", "LAKARE", "RIVERS", "TIDEWY", "DOCARE"),
        "water that is afloat only where depth areas say so; gates and banks are charted",
    ),
    **dict.fromkeys(("LOCMAG", "MAGVAR"), "concerns the compass"),
    **dict.fromkeys(("M_NPUB", "M_PROD", "M_SREL"), _PAPER),
    **dict.fromkeys(("C_AGGR", "C_ASSO", "C_STAC"), "ties other objects together"),
    **dict.fromkeys(("$AREAS", "$LINES", "$CSYMB", "$COMPS", "$TEXTS"), "drawing on the chart"),
}
"""Class: why no hull can come to harm by it. One that restricts entry, or states a depth, is not
harmless even so."""

MARKS = {
    **dict.fromkeys(("BOYLAT", "BCNLAT"), "lateral"),
    **dict.fromkeys(("BOYCAR", "BCNCAR"), "cardinal"),
    **dict.fromkeys(("BOYISD", "BCNISD"), "isolated-danger"),
    **dict.fromkeys(("BOYSAW", "BCNSAW"), "safe-water"),
    **dict.fromkeys(("BOYSPP", "BCNSPP"), "special"),
}
SPANS = frozenset({"BRIDGE", "CBLOHD", "PIPOHD", "CONVYR"})

WITHOUT_PLACE = frozenset({"C_AGGR", "C_ASSO", "C_STAC"})
"""Classes whose objects have no geometry of their own."""

WHY_UNKNOWN = {
    "VEGATN": "vegetation that may stand in the water",
    "M_HDAT": "positions on another horizontal datum",
    "M_HOPA": "positions that want shifting",
    "M_UNIT": "depths in another unit",
    "NEWOBJ": "a new kind of object, described in words only",
}
"""Words for some classes that no check judges; the others go by their acronym."""
