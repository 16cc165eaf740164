"""Sentences about marks: with a capital, but never a file's name."""

from __future__ import annotations

import pytest

from routecheck.model import markfinding


@pytest.mark.parametrize(
    ("why", "shown"),
    [
        ("abc.geojson (zone 4) states 75 degrees", "abc.geojson (zone 4) states 75 degrees."),
        ("the numbers ascend", "The numbers ascend."),
        ("", ""),
    ],
)
def test_a_files_name_at_the_head_is_shown_as_it_is(why: str, shown: str) -> None:
    """A zone of abc.geojson stood as "Abc.geojson" until 2026-11-29."""
    assert markfinding._sentence(why) == shown
