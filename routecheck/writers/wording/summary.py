"""The head of a report in words, the same on map and brief."""

from __future__ import annotations

from dataclasses import dataclass

from routecheck.model.finding import Report
from routecheck.writers.wording.lengths import Lengths, along
from routecheck.writers.wording.names import plain


@dataclass(frozen=True, kw_only=True, slots=True)
class GroupRow:
    """One of the lines beside the verdict."""

    group: str
    outcome: str
    words: str
    count: int
    settle: str


def size_line(report: Report) -> str:
    """How many legs, how far."""
    legs = len(report.legs)
    total_m = sum(leg.distance_m for leg in report.legs)
    return f"{legs} {'leg' if legs == 1 else 'legs'}, {along(total_m)}"


def boat_line(report: Report, lengths: Lengths) -> str:
    """The boat, its draught and what it needs."""
    boat = report.boat
    draught, needed = lengths.exact(boat.draught_m), lengths.exact(boat.needed_m)
    return f"{plain(boat.name) or 'Boat'}, draught {draught}, needs {needed} of water"


def group_rows(report: Report) -> list[GroupRow]:
    """The lines beside the verdict, outcomes in words."""
    return [
        GroupRow(
            group=group.group,
            outcome=group.outcome,
            words=group.outcome.replace("-", " "),
            count=group.count,
            settle=plain(group.settle, longest=400),
        )
        for group in report.groups
    ]
