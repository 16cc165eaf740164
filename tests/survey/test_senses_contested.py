"""Statements of one standing that differ: each contradiction is told once, and nothing else.

Between two that contradict each other nobody says which counts, so neither the numbers of a run
nor a line to steer by can contradict "the" direction there. Expected by hand.
"""

from __future__ import annotations

import pytest

from routecheck.model.objects import MarkKind
from routecheck.model.passes import Sense
from tests.survey.test_senses import kinds, line, passed, row, senses, stated

P = MarkKind.PORT_HAND
APART = (
    "zone 0 says that the direction of buoyage is 180°, zone 1 says 0°",
    "zone 0 says that the direction of buoyage is 0°, zone 1 says 180°",
)
SENSES = (
    "zone 0 states the direction of buoyage 69°: with; zone 1 states the direction of buoyage "
    "111°: against: they contradict each other"
)


@pytest.mark.parametrize(
    ("directions", "said", "told"),
    [
        ((180.0, 0.0), ["against", "with"], APART[0]),
        ((0.0, 180.0), ["with", "against"], APART[1]),
        # Less than 45 degrees apart, but either side of square to the track.
        ((69.0, 111.0), ["with", "against"], SENSES),
        # With a line that goes along, of a statement that the track crosses.
        ((10.0, 90.0), ["with", "crossing"], "zone 0 says that the direction of buoyage is 10°, "
         "zone 1 says 90°"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("leads", [None, Sense.WITH, Sense.AGAINST])
@pytest.mark.parametrize("numbers", [(2, 4, 6), (6, 4, 2)])
def test_each_contradiction_is_told_once(
    directions: tuple[float, float],
    said: list[str],
    told: str,
    leads: Sense | None,
    numbers: tuple[int, ...],
) -> None:
    marks, minima = row(numbers)
    names = [stated(deg, f"zone {n}") for n, deg in enumerate(directions)]
    found = senses(marks, minima).reasons(
        minima[0][0], None, names, None, line(leads) if leads else None
    )
    rising = "with" if numbers[0] < numbers[-1] else "against"
    assert kinds(found) == [*(("CHART", one) for one in said), ("NUMBERS", rising)]
    assert found.conflicts == (told,)


def test_one_statement_is_contradicted_by_numbers_and_by_a_line() -> None:
    """The same of a single statement: both are told."""
    marks, minima = row((2, 4, 6))
    found = senses(marks, minima).reasons(
        passed(0, 0.0), None, [stated(180.0, "zone 0")], None, line(Sense.WITH)
    )
    assert kinds(found) == [("CHART", "against"), ("NUMBERS", "with")]
    assert len(found.conflicts) == 2
