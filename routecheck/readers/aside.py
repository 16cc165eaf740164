"""What harms no hull and still bears on a judgement: what is fitted to marks, and lines to steer
by."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

import shapely

from routecheck.readers.charted import Bounds, Draft, Row
from routecheck.readers.shapes import Shapes, shapes_of


def aside(
    cls: str,
    rows: Sequence[tuple[str, Mapping[str, Any], bytes | None]],
    draft: Draft,
    move: Callable[[Shapes], Shapes] | None,
    keep: Callable[[Row, Draft], None],
    *,
    told: Collection[int],
) -> None:
    """Hand all objects of a class to `keep`; those without a proper place are told, many alike in
    one line. `told`: numbers of rows that whoever judges them tells himself."""
    shapes, flaws = shapes_of([wkb for _, _, wkb in rows], move)
    for (ident, values, _), shape in zip(rows, shapely.force_2d(shapes), strict=True):
        if shape is not None:
            keep(Row(cls=cls, ident=ident, geometry=shape, values=values), draft)
    lost: dict[tuple[str, Bounds | None], list[str]] = {}
    for flaw in flaws:
        if flaw.lost and flaw.row not in told:
            lost.setdefault((flaw.wrong, flaw.bounds), []).append(rows[flaw.row][0])
    for (wrong, bounds), idents in lost.items():
        more = f" and {len(idents) - 1} more" if len(idents) > 1 else ""
        text = f"{cls} {idents[0]}{more}: {wrong} and was left out"
        draft.problem(text, f"{cls} {wrong}", bounds=bounds)
