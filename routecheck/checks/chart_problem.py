"""A chart that was read, but not whole."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="chart-problem",
    group="coverage",
    needs=(),
    gives={Severity.NOT_ASSESSED, Severity.CAUTION, Severity.NOTE},
)
def chart_problem(view: LegView, passage: Passage) -> Iterator[Finding]:  # noqa: ARG001
    """A chart of this leg could not be read whole.

    Rule      an update that failed, geometry that was lost or mended, a value that makes no
              sense, in a chart that this leg rests on: as grave as the reader says it is. A
              chart of the folder that was not read at all: not assessed, on the first leg.
    Why       What was lost may be the one rock that matters.
    Examples  in words: a failed update of a cell that covers the leg is not assessed
    Settings  none.
    Limits    Errors that the file format does not let a reader notice.
    Sources   IHO S-57 ed. 3.1, appendix B.1 (update mechanism).
    """
    for number, problem in enumerate(view.problems):
        text = problem.text.rstrip(". ")
        yield Finding(
            check="chart-problem",
            severity=problem.severity,
            title=f"{problem.source}: {text}"[:200],
            explanation=f"{text}. {_USED if problem.used else _UNUSED}",
            leg=view.leg.number,
            object_key=f"{problem.source}/{number}/{problem.text[:60]}",
            cls="chart",
            along_m=0.0,
            along_to_m=view.length_m,
            lon_deg=view.leg.start.lon_deg,
            lat_deg=view.leg.start.lat_deg,
            source=problem.source,
            rests_on=problem.source,
            settle="get a sound copy of the chart and all its updates",
        )


_USED = "The chart was used all the same, without what is lost."
_UNUSED = "Nothing of it was used; nobody knows which water it shows."
