"""What is found in a grid's file: plain facts that go from the grids' process to ours as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from routecheck.readers.gridfacts import Layer


@dataclass(frozen=True, kw_only=True)
class Opening:
    """How to open one layer: what GDAL calls it, which driver may, with which options."""

    name: str
    driver: str
    options: tuple[tuple[str, str], ...] = ()
    band: int = 1


@dataclass(frozen=True, kw_only=True)
class Found:
    """The layer of depths, and what the file says of its shape, place, cells and accuracy."""

    opening: Opening
    layer: Layer
    columns: int
    rows: int
    block: tuple[int, int]
    dtype: str
    corner: tuple[float, float, float, float, float, float]
    system: str | None
    lonlat_names: bool
    nodata: tuple[float, ...]
    """All numbers that the file declares as no data."""
    limits: tuple[float | None, float | None] = (None, None)
    """The least and greatest of the file's numbers that it declares as values, where it does."""
    scale: float = 1.0
    offset: float = 0.0
    has_mask: bool = False
    nodes: bool | None = None
    """Node-registered, area-registered, or None where no one says."""
    resampled: bool = False
    """A grid of variable resolution, drawn together on its coarsest one."""
    issued: str = ""
    edition: str = ""
    surveyed: int | None = None
    said: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    """Other bands, variables or coverages, which may show less water."""
    unread_doubts: tuple[str, ...] = ()
    """Those that name an uncertainty, and are not used."""
    pages: int = 0
    """Further pages of a TIFF file."""
    sub_images: int = 0
    """Images that hang below its pages."""
    doubt_opening: Opening | None = None
    """Where vertical uncertainties stand, cell by cell."""
    doubt_dtype: str = ""
    doubt_unit_m: float | None = None
    """Metres of their unit; None: the depths' own."""
    doubt_m: float | None = None
    """One vertical uncertainty for the whole grid, metres, where the file states one."""
    doubt_share: float = 0.0
    doubts_per_unit: float = 1.0
    """By what to multiply the file's uncertainties to make them those of 95 %."""
    horizontal_m: float | None = None
    type_opening: Opening | None = None
    """Where the type identifiers of its cells stand, in the same file."""


def to_json(found: Found) -> dict[str, Any]:
    """As plain as JSON needs it."""
    return asdict(found)


def from_json(made: Mapping[str, Any]) -> Found:
    """The same again. Raises TypeError or KeyError for what is not the like."""
    values = dict(made)
    layer = dict(values.pop("layer"))
    typed, doubt = values.pop("type_opening", None), values.pop("doubt_opening", None)
    for name in ("block", "limits", "corner", "nodata", "said", "unread", "unread_doubts"):
        values[name] = tuple(values[name])
    return Found(
        **values | {"opening": opening_from(values["opening"])},
        layer=Layer(**layer),
        type_opening=opening_from(typed) if typed else None,
        doubt_opening=opening_from(doubt) if doubt else None,
    )


def opening_from(made: Mapping[str, Any]) -> Opening:
    """An opening again."""
    return Opening(
        name=made["name"],
        driver=made["driver"],
        options=tuple((str(key), str(value)) for key, value in made["options"]),
        band=int(made["band"]),
    )


@dataclass(frozen=True, kw_only=True)
class Window:
    """Rows and columns of a layer, counted from its north-western corner."""

    top: int
    left: int
    height: int
    width: int


@dataclass(frozen=True, kw_only=True)
class Raw:
    """The numbers of one window as they stand in the file, and its mask (b"" for none)."""

    data: bytes
    mask: bytes = b""
    said: tuple[str, ...] = field(default=())
