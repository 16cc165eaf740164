"""A chart file in words, the same in the brief and in the table of charts."""

from __future__ import annotations

from routecheck.model.source import Source
from routecheck.writers.wording.lengths import Lengths
from routecheck.writers.wording.names import plain


def detail(source: Source, lengths: Lengths) -> str:
    """Scale of a chart or cell size of a grid."""
    if source.scale is not None:
        return f"1:{source.scale:,.0f}"
    if source.resolution_m is not None:
        return f"{lengths.exact(source.resolution_m)} cells"
    return "not stated"


def dates(source: Source) -> str:
    """Edition, updates, date of issue and year of survey, as far as stated."""
    parts = []
    if source.edition:
        parts.append(f"edition {plain(source.edition)}")
    if source.updates:
        parts.append(f"{source.updates} {'update' if source.updates == 1 else 'updates'}")
    if source.issued:
        parts.append(f"issued {plain(source.issued)}")
    if source.surveyed is not None:
        parts.append(f"surveyed {source.surveyed}")
    return ", ".join(parts) or "not stated"


def uncertainty(source: Source, lengths: Lengths) -> str:
    """What the source's own numbers are worth."""
    quality = source.quality
    if quality.vertical_m is None:
        return f"{plain(quality.name)}: depths from it clear only with a caution"
    within = "up to" if quality.by_cell else "depths within"
    text = f"{plain(quality.name)}, {within} {lengths.exact(quality.vertical_m)}"
    if quality.by_cell:
        text += " where sampled"
    if quality.vertical_share:
        text += f" and {quality.vertical_share * 100:.3g} % of the depth"
    if quality.horizontal_m is not None:
        text += f", positions within {lengths.exact(quality.horizontal_m)}"
    return text


def datum(source: Source, lengths: Lengths) -> str:
    """The vertical datum, and what says so."""
    if source.datum == "unknown":
        return "unknown: depths from it may condemn, never clear"
    text = plain(source.datum)
    if source.datum_from:
        text += f" (from {plain(source.datum_from)})"
    if source.datum_below_msl_m is not None:
        text += f", {lengths.exact(source.datum_below_msl_m)} below mean sea level"
    return text


def depth_unit(source: Source) -> str:
    """In which unit the file has its depths; reports are in metres or feet whatever it is."""
    return plain(source.depth_unit) or "not stated, taken as metres"


def source_words(source: Source, lengths: Lengths) -> dict[str, str]:
    """One row of a table of sources."""
    return {
        "id": plain(source.id),
        "file": plain(source.file, longest=300),
        "sha256": source.sha256[:12],
        "kind": f"{source.kind}, {plain(source.format)}",
        "datum": datum(source, lengths),
        "detail": detail(source, lengths),
        "quality": uncertainty(source, lengths),
        "dates": dates(source),
    }
