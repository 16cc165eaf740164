"""Tables of a vector file that are no layer of the map, and further geometries of those that are:
which of them are told."""

from __future__ import annotations

from routecheck.readers.charted import Draft
from routecheck.readers.ogr import Table
from routecheck.readers.strict import cleaned
from routecheck.readers.vector_classes import class_named


def tell_placeless(table: Table, draft: Draft) -> bool:
    """Tell of a table without geometry that may hold charted objects; whether it was told."""
    rows = max(table.rows, table.stated)
    if rows < 1 or not (table.may_place or class_named(table.name)):
        return False
    draft.problem(
        f"table {cleaned(table.name, longest=60)}: its rows ({rows}) are not on the map, since it "
        "is no layer with a geometry, and were left unread",
        "table",
    )
    return True


def tell_further(table: Table, draft: Draft) -> None:
    """Tell of geometries of a layer beside those that were read."""
    for column in table.further:
        draft.problem(
            f"layer {cleaned(table.name, longest=60)}: what its column "
            f"{cleaned(column, longest=60)} places was left unread, since a layer has one column "
            "of geometry",
            "further geometry",
        )
