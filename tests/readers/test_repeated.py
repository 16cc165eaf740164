"""What a file says of a leg of no length is not lost with the waypoint that repeats another."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.readers.test_rtz import read, rtz


def route(tmp_path: Path, first: str, again: str) -> tuple[float | None, float | None, float]:
    """(room to port, to starboard, turn radius) at a waypoint that stands twice, metres."""
    turn = '<position lat="54.2" lon="10.1"/>'
    text = (
        '<waypoint id="1"><position lat="54.0" lon="10.0"/></waypoint>'
        f'<waypoint id="2"{first.format(turn)}</waypoint><waypoint id="3"{again.format(turn)}'
        '</waypoint><waypoint id="4"><position lat="54.2" lon="10.9"/></waypoint>'
    )
    made = read(tmp_path, rtz(text))
    assert len(made.legs) == 2 and len(made.remarks) >= 1
    return made.legs[0].xtd_port_m, made.legs[0].xtd_starboard_m, made.legs[0].end.turn_radius_m


@pytest.mark.parametrize("swap", [False, True])
def test_the_wider_room_and_turn_of_the_two_count(tmp_path: Path, swap: bool) -> None:
    one = ' radius="0.1">{}<leg portsideXTD="0.1" starboardXTD="0.4"/>'
    two = ' radius="0.2">{}<leg portsideXTD="0.3" starboardXTD="0.2"/>'
    found = route(tmp_path, *((two, one) if swap else (one, two)))
    assert found == pytest.approx((555.6, 740.8, 370.4))


def test_the_boats_own_room_is_not_narrowed(tmp_path: Path) -> None:
    found = route(tmp_path, ">{}", '>{}<leg portsideXTD="0.3" starboardXTD="0.3"/>')
    assert found == (None, None, 0.0)
