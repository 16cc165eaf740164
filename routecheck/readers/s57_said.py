"""What GDAL had to say about a cell, as problems: which object, where, and how bad."""

from __future__ import annotations

import re
from collections.abc import Callable

from routecheck.model.chart import Severity
from routecheck.readers import ogr
from routecheck.readers.charted import Draft
from routecheck.readers.s57_classes import NUMBERS, TEXTS

_OBJECT = re.compile(r"FIDN=(-?\d+),\s*FIDS=(-?\d+)")
_IGNORED = re.compile(r"Attributes? (\w+) ignored")
_UPDATE = re.compile(r"update|RVER|for delete", re.IGNORECASE)
_SAID_OTHERWISE = ("Non closed ring detected", "organizePolygons()", "Failed to find layer")
"""The readers of geometries say the same and name the object."""


def report(answer: ogr.Answer, draft: Draft) -> Callable[[Draft], None]:
    """Report everything that concerns the whole cell; what comes back reports on single objects,
    once they have been read and their places are known."""
    single: list[tuple[str, str]] = []
    for text in answer.said:
        if any(known in text for known in _SAID_OTHERWISE):
            continue
        named = _OBJECT.search(text)
        ignored = _IGNORED.search(text)
        if "Illegal feature attribute" in text or (
            ignored and ignored.group(1) not in {*NUMBERS, *TEXTS}
        ):
            # An attribute outside the standard, or outside its class: none that is read here.
            draft.problem(f"GDAL: {text}", severity=Severity.NOTE)
        elif named:
            single.append((_foid(*named.groups()), text))
        elif _UPDATE.search(text):
            draft.problem(f"an update was not applied as a whole; GDAL: {text}", "update")
        else:
            draft.problem(f"GDAL: {text}", "GDAL")

    def on_objects(draft: Draft) -> None:
        for foid, text in single:
            at = [
                thing.geometry.bounds
                for things in draft.parts.values()
                for thing in things
                if thing.key.partition("~")[0].endswith(foid)
            ]
            draft.problem(f"GDAL: {text}", bounds=at[0] if at else None)

    return on_objects


def _foid(number: str, part: str) -> str:
    return f"{int(number) & 0xFFFFFFFF:08X}{int(part) & 0xFFFF:04X}"
