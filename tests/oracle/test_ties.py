"""Worlds in which nothing says which of two depth grids is the better one: both count.

The worlds of the campaign hardly ever have two grids of one quality and one cell size.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.oracle.compare import compared
from tests.oracle.judge import Oracle, usable
from tests.oracle.package_side import ask
from tests.oracle.worlds import world


def tied(seed: int) -> dict[str, Any]:
    """A world of grids alone, the second turned into another survey of what the first shows: in
    the same cells, as good, and shoaler here and there."""
    made = world(seed)
    first = made["grids"][0]
    shoaler = [
        [one if one is None or (row + column) % 3 == 0 else 0.2 * one for column, one in on]
        for row, line in enumerate(first["depth_m"])
        for on in [list(enumerate(line))]
    ]
    return made | {
        "charts": [],
        "grids": [first, first | {"id": f"{first['id']}b", "depth_m": shoaler}],
        "clocks": made["clocks"][:4],
    }


def with_fine_grids(first: int, count: int) -> list[int]:
    """Seeds of worlds with a grid that is fine enough to take the place of another."""
    found = []
    while len(found) < count:
        made = world(first)
        if made["grids"]:
            grid = made["grids"][0]
            if usable(grid) and not Oracle(made).sources.coarse(grid):
                found.append(first)
        first += 1
    return found


@pytest.mark.parametrize("swapped", [False, True])
def test_of_two_grids_that_are_alike_both_count(swapped: bool) -> None:
    of_the_shoaler = 0
    for seed in with_fine_grids(5040, 8):
        made = tied(seed)
        if swapped:  # whichever is called first
            one, other = made["grids"]
            made["grids"] = [other | {"id": one["id"]}, one | {"id": other["id"]}]
        shoaler = made["grids"][0 if swapped else 1]["id"]
        oracle, answers = Oracle(made), ask(made)
        claims = [oracle.claims(clock) for clock in made["clocks"]]
        of_the_shoaler += sum(claim.key == shoaler for mine in claims for claim in mine)
        assert compared(oracle, answers, claims) == []
    assert of_the_shoaler > 10
