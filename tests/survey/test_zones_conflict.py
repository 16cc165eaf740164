"""Which of several statements on the buoyage of a place contradict the most trusted one."""

from __future__ import annotations

import pytest

from routecheck.survey.zones import Stated, conflict


def said(*given: tuple[str, float | None]) -> str:
    return conflict(
        [Stated(text=chr(97 + n), region=r, direction_deg=d) for n, (r, d) in enumerate(given)]
    )


@pytest.mark.parametrize(
    ("given", "text"),
    [
        ([], ""),
        ([("A", None)], ""),
        ([("A", None), ("A", None)], ""),
        ([("A", None), ("", None), ("B", None)], "a says region A, c says B"),
        ([("A", None), ("B", None), ("B", None)], "a says region A, b says B"),
        ([("", None), ("B", None)], ""),
        ([("", 10.0), ("", 55.0)], ""),  # 45 degrees are no contradiction
        ([("", 10.0), ("", 55.1)],
         "a says that the direction of buoyage is 10°, b says 55°"),
        ([("", 350.0), ("", 30.0)], ""),
        ([("", 30.0), ("", 340.0)],
         "a says that the direction of buoyage is 30°, b says 340°"),
        ([("", 0.0), ("", 180.0)],
         "a says that the direction of buoyage is 0°, b says 180°"),
        ([("", 180.0), ("", 0.0)],
         "a says that the direction of buoyage is 180°, b says 0°"),
        ([("", 10.0), ("", None), ("", 20.0)], ""),
        ([("", None), ("", 180.0)], ""),
    ],
)  # fmt: skip
def test_the_first_that_contradicts(given: list[tuple[str, float | None]], text: str) -> None:
    assert said(*given) == text
