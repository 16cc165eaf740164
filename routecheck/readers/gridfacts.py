"""What a grid's numbers mean: depth or elevation, in which unit, from which datum.

Never guessed from the values. In order of trust: the format's own rule (BAG, S-102), what the
layer is called and said to be, the vertical coordinate system's axis; then the sidecar. Where the
file contradicts itself the sidecar decides; a sidecar that contradicts the file is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from routecheck import units
from routecheck.model.datum import UNKNOWN, datum_named
from routecheck.model.errors import BadInput
from routecheck.readers.beside import sidecar_path

if TYPE_CHECKING:
    from pathlib import Path

    from routecheck.readers.chart_sidecar import Sidecar

DEPTH, ELEVATION = "depth", "elevation"
_WORDS = {
    # What layers, and their CF standard names (CF Standard Name Table 85), say of the sign.
    DEPTH: ("depth", "sea_floor_depth", "depth_below_geoid", "bathymetric_depth"),
    ELEVATION: ("elevation", "altitude", "height", "height_above_mean_sea_level"),
}
_STARTS = {
    DEPTH: ("sea_floor_depth_below_", "depth_below_"),
    ELEVATION: ("height_above_", "surface_altitude", "bedrock_altitude", "sea_floor_altitude"),
}
_UNITS = {
    "metre": 1.0,
    "meter": 1.0,
    "metres": 1.0,
    "meters": 1.0,
    "us survey foot": units.METRES_PER_US_SURVEY_FOOT,
    "us_survey_foot": units.METRES_PER_US_SURVEY_FOOT,
    "us-ft": units.METRES_PER_US_SURVEY_FOOT,
    "ftus": units.METRES_PER_US_SURVEY_FOOT,
    "international foot": units.METRES_PER_FOOT,
    "international feet": units.METRES_PER_FOOT,
}
_SIGN = 'state quantity = "depth" or "elevation" in {sidecar}'


@dataclass(frozen=True, kw_only=True)
class Layer:
    """What the file says of the layer that holds the depths. "" where it says nothing."""

    driver: str
    name: str = ""
    """The band's description, or the variable's name."""
    standard_name: str = ""
    long_name: str = ""
    positive: str = ""
    """CF: "up" or "down"."""
    unit: str = ""
    vertical_name: str = ""
    """Of the vertical coordinate system."""
    vertical_down: bool | None = None
    vertical_unit_m: float | None = None
    from_bag: bool = False
    """Copied from a BAG, whose rules then hold."""
    said: Mapping[str, str] = field(default_factory=dict)
    """Attributes that may name a vertical datum."""


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What the numbers mean, and who says so."""

    quantity: str
    quantity_stated: bool
    """Stated by a format's rule, a CF attribute or the sidecar: not by a mere name."""
    metres_per_unit: float
    datum: str
    datum_from: str


def facts_of(path: Path, layer: Layer, sidecar: Sidecar | None) -> Facts:
    """What the layer's numbers mean. Raises BadInput where no one says or two contradict."""
    quantity, stated = _quantity(path, layer, sidecar)
    datum, datum_from = _datum(path, layer, sidecar)
    return Facts(
        quantity=quantity,
        quantity_stated=stated,
        metres_per_unit=_unit_m(path, layer, sidecar),
        datum=datum,
        datum_from=datum_from,
    )


def _quantity(path: Path, layer: Layer, sidecar: Sidecar | None) -> tuple[str, bool]:
    said = sidecar.quantity if sidecar is not None else ""
    by_rule = {"S102": DEPTH, "BAG": ELEVATION}.get(layer.driver, "")
    if layer.from_bag:
        by_rule = ELEVATION
    by_sign = {"up": ELEVATION, "down": DEPTH}.get(layer.positive.strip().lower(), "")
    by_name = {_by_words(text) for text in (layer.name, layer.standard_name)} - {""}
    by_axis = {None: "", True: DEPTH, False: ELEVATION}[layer.vertical_down]
    # A BAG's vertical axis is often called "Depth, down"; its elevations go up all the same.
    found = {by_rule} if by_rule else {by_sign, by_axis, *by_name} - {""}
    do = _SIGN.format(sidecar=sidecar_path(path).name)
    if len(found) == 1:
        (quantity,) = found
        if said and said != quantity:
            raise BadInput(
                file=str(path),
                wrong=f"the file says that it holds {quantity}, its sidecar {said}",
                do="take the wrong one out",
            )
        return quantity, bool(by_rule or by_sign or said)
    if said:
        return said, True
    if found:
        wrong = "its name, attributes and vertical axis contradict each other: depth or elevation"
        raise BadInput(file=str(path), wrong=wrong, do=do)
    wrong = "it does not say whether its numbers are depths (positive down) or elevations (up)"
    raise BadInput(file=str(path), wrong=wrong, do=do)


def _by_words(text: str) -> str:
    word = re.sub(r"[\s-]+", "_", text.strip().lower())
    for quantity, words in _WORDS.items():
        if word in words or word.startswith(_STARTS[quantity]):
            return quantity
    return ""


def _unit_m(path: Path, layer: Layer, sidecar: Sidecar | None) -> float:
    said_m = sidecar.unit_m if sidecar is not None else None
    found: set[float] = set()
    if layer.unit.strip():
        unit_m = unit_named_m(layer.unit)
        if unit_m is None and said_m is None:
            raise BadInput(
                file=str(path),
                wrong=f"its numbers are in {layer.unit.strip()[:40]!r}, which is no unit of depth",
                do=f'if they are metres or feet, state unit = "m" or "ft" in '
                f"{sidecar_path(path).name}",
            )
        found |= {unit_m} if unit_m is not None else set()
    if layer.vertical_unit_m is not None:
        found.add(layer.vertical_unit_m)
    if layer.driver in ("BAG", "S102") or layer.from_bag:
        found = {1.0}  # by their rules
    if len(found) == 1:
        (unit_m,) = found
        if said_m is not None and abs(said_m / unit_m - 1.0) > 1e-5:
            raise BadInput(
                file=str(path),
                wrong=f"its unit is {unit_m:g} m by the file and {said_m:g} m by its sidecar",
                do="take the wrong one out",
            )
        return unit_m
    if said_m is not None:
        return said_m
    wrong = "it does not state the unit of its depths"
    if found:
        wrong = "it states two units of depth"
    raise BadInput(
        file=str(path), wrong=wrong, do=f'state unit = "m" or "ft" in {sidecar_path(path).name}'
    )


def unit_named_m(text: str) -> float | None:
    """Metres of a unit of length by its name, None where it is none that is known."""
    word = text.strip().lower().rstrip(".")
    if word in _UNITS:
        return _UNITS[word]
    try:
        return units.length_m(f"1 {word}") if not re.search(r"\d", word) else None
    except ValueError:
        return None


def _datum(path: Path, layer: Layer, sidecar: Sidecar | None) -> tuple[str, str]:
    names = [("vertical system", layer.vertical_name)]
    names += [(f"attribute {key}", text) for key, text in layer.said.items()]
    found, whence = UNKNOWN, ""
    for where, text in names:
        found = datum_in(text)
        if found != UNKNOWN:
            whence = where
            break
    said = sidecar.datum if sidecar is not None else ""
    if not said or said == found:
        return found, whence
    if found != UNKNOWN:
        raise BadInput(
            file=str(path),
            wrong=f"its depths are from {found} by the file and from {said} by its sidecar",
            do="take the wrong one out",
        )
    return said, "sidecar"


def datum_in(text: str) -> str:
    """The datum that a vertical system's name tells, "unknown" where it tells none.

    "MLLW depth", "MSL height", "LAT NL depth" and "CD Norway depth" are names of EPSG's.
    """
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)  # meanLowerLowWater
    plain = re.sub(r"\s*\((ft|ftUS|m)\)\s*$", "", spaced.strip())
    plain = re.sub(r"\s+(depth|height|elevation)s?$", "", plain, flags=re.IGNORECASE)
    for name in _shorter(plain.split()):
        try:
            return datum_named(name)
        except ValueError:
            continue
    return UNKNOWN


def _shorter(words: list[str]) -> Iterable[str]:
    """The name, and without its last word, the region: "LAT NL"."""
    if words:
        yield " ".join(words)
    if len(words) == 2 and words[0] in ("LAT", "CD", "MLLW", "MSL"):
        yield words[0]


def issued(tags: dict[str, str]) -> str:
    """The date that the file gives itself, YYYY-MM-DD, else ""."""
    for key in ("issueDate", "BAG_DATETIME", "TIFFTAG_DATETIME"):
        found = re.match(r"(\d{4})[-:]?(\d\d)[-:]?(\d\d)", tags.get(key, ""))
        if found:
            return "-".join(found.groups())
    return ""
