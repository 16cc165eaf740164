"""A finding's sum, written out: what is there, what is needed, what is left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from routecheck.writers.wording.lengths import Lengths
from routecheck.writers.wording.names import plain

_LABELS = {
    "charted_depth_m": "charted depth",
    "drying_height_m": "drying height",
    "height_of_tide_m": "height of tide",
    "available_m": "available",
    "draught_m": "draught",
    "squat_m": "squat",
    "heel_swell_m": "heel and swell",
    "under_keel_m": "under-keel clearance wanted",
    "under_keel_clearance_m": "under-keel clearance wanted",
    "needed_m": "needed",
    "margin_m": "margin",
    "uncertainty_m": "uncertainty",
    "touches_at_m": "the keel touches at",
    "cross_m": "cross-track distance (port is minus)",
    "not_seen_m2": "corridor not seen",
    "unknown_quality_m2": "corridor of unknown quality",
}
_TOTALS = ("available_m", "needed_m")
_UNITS = {"nmi": "nmi", "deg": "°", "kn": "kn", "s": "s", "m2": "m²", "share": ""}
_SMALL = ("squat_m", "heel_swell_m")
_ALONE = ("uncertainty_m",)
"""No term of a sum: it may have more decimals than the rest."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SumRow:
    """One number of a sum, ready to be shown."""

    key: str
    label: str
    text: str
    value: float | str
    total: bool


def label_of(key: str) -> str:
    """The words for a number's name: its unit is told by the number.

    >>> label_of("charted_depth_m"), label_of("gate_width_m")
    ('charted depth', 'gate width')
    """
    if key in _LABELS:
        return _LABELS[key]
    words = key.split("_")
    if len(words) > 1 and (words[-1] == "m" or words[-1] in _UNITS):
        words = words[:-1]
    return plain(" ".join(words))


def sum_rows(sums: Mapping[str, float | str], lengths: Lengths) -> tuple[SumRow, ...]:
    """The numbers in their order, each with its label and unit."""
    near = [v for k, v in sums.items() if k.endswith("_m") and _is_small(v) and k not in _ALONE]
    decimals = lengths.decimals(float(v) for v in near)
    return tuple(
        SumRow(
            key=key,
            label=label_of(key),
            text=_text(key, value, lengths, decimals),
            value=value,
            total=key in _TOTALS or key == "margin_m",
        )
        for key, value in sums.items()
    )


def _is_small(value: float | str) -> bool:
    return not isinstance(value, str) and abs(value) < 1000.0


def _text(key: str, value: float | str, lengths: Lengths, decimals: int) -> str:
    if isinstance(value, str):
        return plain(lengths.prose(value))
    if key.endswith("_m"):
        alone = lengths.decimals([value]) if key in _ALONE else decimals
        places = alone if _is_small(value) else 0
        return lengths.exact(value, places, sign=key == "margin_m")
    unit = key.rsplit("_", 1)[-1]
    if abs(value) >= 1000.0:
        number = lengths.number(round(value), 0, grouped=True)
    else:
        number = lengths.number(value, 0 if float(value).is_integer() else 1)
    sign = _UNITS.get(unit, "")
    told = number + sign if sign == "°" else f"{number} {sign}".rstrip()
    return lengths.prose(told) if unit == "m2" else told


def sum_line(sums: Mapping[str, float | str], lengths: Lengths, *, brief: bool = False) -> str:
    """The sum in one line: terms joined by plus signs where they do add up to the total.

    `brief` leaves out squat, heel and swell that are nought, and what the place tells already.

    >>> sum_line({"charted_depth_m": 1.8, "height_of_tide_m": 0.0, "available_m": 1.8,
    ...           "draught_m": 2.0, "under_keel_m": 1.0, "needed_m": 3.0, "margin_m": -1.2},
    ...          Lengths(minus="-"))  # doctest: +NORMALIZE_WHITESPACE
    'charted depth 1.8 m + height of tide 0.0 m = available 1.8 m; draught 2.0 m + under-keel
    clearance wanted 1.0 m = needed 3.0 m; margin -1.2 m'
    """
    parts: list[str] = []
    terms: list[SumRow] = []
    rows = sum_rows(sums, lengths)
    tide = next((f" ({row.text})" for row in rows if row.key == "tide" and row.text), "")

    def told(row: SumRow) -> str:
        note = tide if row.key == "height_of_tide_m" and not brief else ""
        return f"{row.label} {row.text}{note}"

    for row in rows:
        if row.key == "tide" and "height_of_tide_m" in sums:
            continue
        if row.key == "cross_m" and brief:  # told by the place
            continue
        if row.key in _TOTALS and _adds_up(terms, row):
            shown = [t for t in terms if not (brief and t.key in _SMALL and t.value == 0.0)]
            parts.append(f"{' + '.join(told(t) for t in shown)} = {told(row)}")
            terms = []
        elif row.total:
            parts += [told(t) for t in (*terms, row)]
            terms = []
        else:
            terms.append(row)
    parts += [told(t) for t in terms]
    return "; ".join(parts)


def _adds_up(terms: list[SumRow], total: SumRow) -> bool:
    values = [t.value for t in terms if not isinstance(t.value, str)]
    if not terms or len(values) != len(terms) or isinstance(total.value, str):
        return False
    return abs(sum(values) - total.value) < 1e-6
