"""The summary on the terminal: no wider than asked; nothing from a file can steer the screen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, tzinfo

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding, MarkOutcome, Report
from routecheck.units import METRES_PER_NMI
from routecheck.writers.wording.lengths import Lengths, Units
from routecheck.writers.wording.marks import mark_words
from routecheck.writers.wording.names import columns, cut, plain, wrapped
from routecheck.writers.wording.passed_over import passed_over_line
from routecheck.writers.wording.places import (
    SEVERITY_WORDS,
    VERDICT_MEANINGS,
    place_of,
)
from routecheck.writers.wording.sums import sum_line

_NARROWEST = 40
# Emphasis tells severity without colour too: reversed, bold, underlined, dim.
_EMPHASIS = {
    Severity.DANGER: "1;7",
    Severity.CAUTION: "1;35",
    Severity.NOT_ASSESSED: "4",
    Severity.NOTE: "2",
}


@dataclass(frozen=True, kw_only=True)
class _Page:
    width: int
    colour: bool
    lengths: Lengths

    def strong(self, text: str, code: str = "1") -> str:
        return f"\x1b[{code}m{text}\x1b[0m" if self.colour else text

    def wrap(self, text: str, first: str = "", rest: str | None = None) -> list[str]:
        shown = plain(text, longest=4000)
        indent = first if rest is None else rest
        return wrapped(shown, width=self.width, first=first, rest=indent)


def to_terminal(
    report: Report,
    *,
    units: str = Units.METRIC,
    width: int = 80,
    colour: bool = False,
    zone: tzinfo = UTC,
) -> str:
    """The report as text: verdict, the six groups, the findings along the track, the caution.

    `width` is the number of columns (at least 40); `units` "metric" or "feet". Escape sequences
    are ours alone, and only with `colour`. Raises ValueError on unknown units.
    """
    lengths = Lengths(units=Units(units), minus="-", zone=zone)
    page = _Page(width=max(_NARROWEST, width), colour=colour, lengths=lengths)
    lines = [*_head(report, page), "", *_groups(report, page), ""]
    lines += _findings(report, page)
    lines += _marks(report, page)
    left = passed_over_line(report.unread)
    if left:
        lines += ["", *page.wrap(left)]
    lines += ["", *page.wrap(report.caution)]
    return "\n".join(lines) + "\n"


def _head(report: Report, page: _Page) -> Iterator[str]:
    boat, lengths = report.boat, page.lengths
    miles = sum(leg.distance_m for leg in report.legs) / METRES_PER_NMI
    legs = len(report.legs)
    size = f"{legs} {'leg' if legs == 1 else 'legs'}, {miles:.2f} nmi"
    yield from page.wrap(f"{plain(report.route.name) or 'route without a name'}: {size}")
    needs = (
        f"draught {lengths.exact(boat.draught_m)}, needs {lengths.exact(boat.needed_m)} of water"
    )
    yield from page.wrap(f"{plain(boat.name) or 'boat'}: {needs}")
    when = f"departs {page.lengths.clock(report.depart)}" if report.depart else "no departure time"
    tide = f"; {lengths.prose(report.tide_text)}" if report.tide_text else ""
    yield from page.wrap(f"{when}{tide}")
    yield ""
    verdict = str(report.verdict).upper()
    meaning = VERDICT_MEANINGS[report.verdict]
    first, *more = wrapped(meaning, width=page.width, first=f"{verdict}: ", rest="  ")
    yield page.strong(verdict) + first[len(verdict) :]
    yield from more


def _groups(report: Report, page: _Page) -> Iterator[str]:
    name_width = max((len(g.group) for g in report.groups), default=0)
    outcome_width = max((len(g.outcome) for g in report.groups), default=0)
    for group in report.groups:
        count = str(group.count) if group.count else "-"
        first = f"  {group.group:<{name_width}}  {group.outcome:<{outcome_width}}  {count:>4}"
        indent = " " * (name_width + 4)
        if group.settle:
            yield first
            yield from page.wrap(
                page.lengths.prose(group.settle), first=indent + "to settle it: ", rest=indent
            )
        else:
            yield first.rstrip()


def _findings(report: Report, page: _Page) -> Iterator[str]:
    numbered = [f for f in report.findings if f.number]
    notes = [f for f in report.findings if not f.number]
    if numbered:
        yield page.strong("Findings in order along the track")
    for finding in numbered:
        yield from _finding(finding, page)
    if notes:
        yield page.strong("Notes")
    for finding in notes:
        place = plain(place_of(finding, page.lengths))
        yield from page.wrap(
            f"{place}: {page.lengths.prose(finding.title)}", first="   - ", rest=" " * 5
        )
    if not report.findings:
        yield "No findings."


def _marks(report: Report, page: _Page) -> Iterator[str]:
    """The mark list of the passage; its numbers are those that --explain takes."""
    if not report.marks:
        return
    yield ""
    yield page.strong("Marks in the order of meeting")
    for number, mark in enumerate(report.marks, start=1):
        words = mark_words(mark, page.lengths)
        wrong = mark.outcome is MarkOutcome.WRONG
        when = f", {words.eta}" if words.eta else ""
        head = f"{number:>4}  {words.outcome}"
        rest = f"; required: {words.required}" if mark.side_required else ""
        first = page.strong(head, _EMPHASIS[Severity.DANGER]) if wrong else head
        place = cut(f"  {words.place}{when}", page.width - columns(head))
        yield first + place
        indent = " " * 6
        yield from page.wrap(f"{words.name}: {words.look}", first=indent)
        yield from page.wrap(f"{words.passed}, {words.off} off{rest}", first=indent)
        yield from page.wrap(f"rule: {words.rule}", first=indent, rest=indent + "  ")


def _finding(finding: Finding, page: _Page) -> Iterator[str]:
    word = SEVERITY_WORDS[finding.severity]
    number = f"{finding.number:>4}"
    place = place_of(finding, page.lengths)
    head = f"{number} {word}  "
    room = page.width - columns(head)
    yield f"{number} {page.strong(word, _EMPHASIS[finding.severity])}  {cut(plain(place), room)}"
    indent = " " * 5
    yield from page.wrap(page.lengths.prose(finding.title), first=indent)
    total = sum_line(finding.sums, page.lengths, brief=True)
    if total:
        yield from page.wrap(total, first=indent, rest=indent + "  ")
