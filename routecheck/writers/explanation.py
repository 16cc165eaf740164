"""The whole reasoning about one mark, as text: what `vet --explain` prints."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from routecheck.model.clock import Clock
from routecheck.model.finding import Report
from routecheck.model.markexplain import explain
from routecheck.writers.wording.lengths import Lengths, Units
from routecheck.writers.wording.names import plain, wrapped

_MOST_NAMES = 5
_NARROWEST = 40


def to_explanation(
    report: Report, wanted: str, *, width: int = 80, units: str = Units.METRIC
) -> str:
    """Every pass of the marks that `wanted` means, one after the other; "" where it means none.

    `wanted` is a mark's key, its name, or its number in the mark list (from 1; all that fit are
    told); if it is none of these, part of a name. `width` is the number of columns (at least 40).
    """
    lengths = Lengths(units=Units(units), minus="-")
    chosen = _chosen(report, wanted)
    if not chosen:
        return ""
    columns = max(_NARROWEST, width)
    passages = Clock(report.views, report.boat, report.tide).passages(report.depart)
    # In the order of the report's own list, which sorts the same passes by the same key.
    met = sorted(
        (
            (view.start_along_m + one.along_m, one.mark.key, number, one)
            for number, view in enumerate(report.views)
            for one in view.marks
        ),
        key=lambda held: held[:2],
    )
    lines = wrapped(plain(report.route.name) or "route without a name", width=columns, rest="  ")
    for number in chosen:
        _, _, leg, one = met[number - 1]
        told = explain(one, report.views[leg], passages[leg])
        lines.append("")
        lines += wrapped(
            plain(lengths.prose(told[0]), longest=400),
            width=columns,
            first=f"{number}. ",
            rest="   ",
        )
        for sentence in told[1:]:
            text = plain(lengths.prose(sentence), longest=1500)
            lines += wrapped(text, width=columns, first="   - ", rest="     ")
    return "\n".join(lines) + "\n"


def explanations(
    reports: Sequence[Report], wanted: str, *, width: int = 80, units: str = Units.METRIC
) -> str:
    """The same of several routes, and the caution; "" where no route meets such a mark."""
    told = [
        text for one in reports if (text := to_explanation(one, wanted, width=width, units=units))
    ]
    if not told:
        return ""
    caution = wrapped(reports[0].caution, width=max(_NARROWEST, width))
    return "\n".join([*told, *caution]) + "\n"


def no_such_mark(reports: Sequence[Report], wanted: str) -> str:
    """One line for a mark that no route meets, with the nearest names."""
    names = sorted({plain(row.name) for report in reports for row in report.marks if row.name})
    shown = repr(plain(wanted, longest=60))
    count = sum(len(report.marks) for report in reports)
    if not count:
        return f"there is no mark {shown}: the track meets none at all"
    lower = {name.lower(): name for name in names}
    near = difflib.get_close_matches(_folded(wanted), list(lower), n=_MOST_NAMES, cutoff=0.4)
    if near:
        return f"the track meets no mark {shown}; the nearest names: " + ", ".join(
            repr(lower[name]) for name in near
        )
    return f"the track meets no mark {shown}; give a number of the mark list, 1 to {count}"


def _chosen(report: Report, wanted: str) -> list[int]:
    """Numbers in the mark list, from 1."""
    folded = _folded(wanted)
    if not folded:
        return []
    rows = list(enumerate(report.marks, start=1))
    exact = [
        number
        for number, row in rows
        if row.key == wanted.strip() or _folded(row.name) == folded or str(number) == folded
    ]
    return exact or [number for number, row in rows if folded in _folded(row.name)]


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
