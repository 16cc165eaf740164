"""A chart's sidecar, ``<chart file>.toml``: what the file itself does not state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from routecheck import units
from routecheck.model.datum import datum_named
from routecheck.model.finite import refuse_not_finite
from routecheck.model.source import UNKNOWN_QUALITY, Quality
from routecheck.readers.beside import sidecar_path
from routecheck.readers.s57_classes import NUMBERS, TEXTS
from routecheck.readers.strict import shown
from routecheck.readers.tomlfile import Table, read_toml

_KEYS = (
    *("quantity", "unit", "datum", "datum_below_msl", "vertical_uncertainty"),
    *("horizontal_uncertainty", "surveyed", "class", "columns", "layers"),
)
COLUMN_WORDS = (
    *("depth", "depth_max", "name", "class", "kind", "colours", "region"),
    *("direction_of_buoyage_deg", "clearance", "restrictions"),
)
"""Our words for columns; S-57's names for attributes are known too."""
MOST_LAYERS = 1000


@dataclass(frozen=True, kw_only=True)
class LayerSidecar:
    """What is said of one layer. `cls` "" where its class is not given."""

    cls: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Sidecar:
    """What a sidecar states; None, "" or nothing for what it does not."""

    file: str
    quantity: str = ""
    """"depth" (positive down) or "elevation" (positive up)."""
    unit_m: float | None = None
    """Metres of one unit of depth."""
    datum: str = ""
    datum_below_msl_m: float | None = None
    quality: Quality = UNKNOWN_QUALITY
    surveyed: int | None = None
    whole: LayerSidecar = field(default_factory=LayerSidecar)
    """What holds for every layer."""
    layers: Mapping[str, LayerSidecar] = field(default_factory=dict)
    """By the layer's name, as the file has it."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)

    @property
    def columns(self) -> Mapping[str, str]:
        """The file's columns by our words, for every layer."""
        return self.whole.columns


def read_sidecar(chart_path: Path) -> Sidecar | None:
    """The sidecar of a chart file, None where there is none. Raises BadInput, with the key, for
    a key, unit, datum or column that is not known."""
    path = sidecar_path(chart_path)
    if not path.exists():
        return None
    top = read_toml(path)
    top.refuse_unknown(_KEYS)
    quality = _quality(top)
    layers = top.table("layers")
    named = {} if layers is None else {name: layers.table(name) for name in layers.values}
    if len(named) > MOST_LAYERS:
        raise top.bad(f"there are more than {MOST_LAYERS}", key="layers")
    return Sidecar(
        file=str(path),
        quantity=top.read("quantity", _quantity) or "",
        unit_m=top.read("unit", unit_m),
        datum=top.read("datum", _datum) or "",
        datum_below_msl_m=top.length_m("datum_below_msl", most_m=30.0, signed=True),
        quality=quality,
        surveyed=top.read("surveyed", _year),
        whole=_layer(top, layered=False),
        layers={name: _layer(table) for name, table in named.items() if table is not None},
    )


def _layer(table: Table, *, layered: bool = True) -> LayerSidecar:
    if layered:
        table.refuse_unknown(("class", "columns"))
    cls = (table.text("class") or "").strip()
    columns = table.table("columns")
    if columns is None:
        return LayerSidecar(cls=cls)
    columns.refuse_unknown((*COLUMN_WORDS, *NUMBERS, *TEXTS, "QUAPOS", "POSACC"))
    return LayerSidecar(cls=cls, columns={k: columns.read(k, _name) or "" for k in columns.values})


def _quality(top: Table) -> Quality:
    vertical = top.read("vertical_uncertainty", _vertical)
    horizontal_m = top.length_m("horizontal_uncertainty", most_m=100_000.0)
    if vertical is None and horizontal_m is None:
        return UNKNOWN_QUALITY
    fixed_m, share = vertical if vertical is not None else (None, 0.0)
    return Quality(
        name="as the sidecar states",
        vertical_m=fixed_m,
        vertical_share=share,
        horizontal_m=horizontal_m,
    )


def _vertical(value: Any) -> tuple[float, float]:
    fixed_m, share = units.share_and_length(value)
    if fixed_m > 1000.0 or share > 1.0:
        raise ValueError(f"{shown(value)} is no uncertainty of a depth")
    return fixed_m, share


def _quantity(value: Any) -> str:
    if value not in ("depth", "elevation"):
        raise ValueError(f'{shown(value)} is neither "depth" nor "elevation"')
    return str(value)


def unit_m(value: Any) -> float:
    """Metres of one unit of depth, such as "m", "ft" or "fm". Raises ValueError, in words."""
    if not isinstance(value, str) or not value.strip() or any(c.isdigit() for c in value):
        raise ValueError(f'{shown(value)} is no unit; write "m", "ft" or "fm"')
    metres = units.length_m(f"1 {value.strip()}", what="depth")
    if metres > units.METRES_PER_FATHOM:
        raise ValueError(f'{shown(value)} is no unit of depth; write "m", "ft" or "fm"')
    return metres


def _datum(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} is not text in quotes")
    return datum_named(value)


def _year(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 1500 <= value <= 2200:
        raise ValueError(f"{shown(value)} is not a year, such as 2019")
    return value


def _name(value: Any) -> str:
    if not isinstance(value, str) or not value:
        raise ValueError(f"{shown(value)} is not a column's name in quotes")
    return value
