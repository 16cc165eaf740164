"""Symbols of marks: no quadrant and no hand is drawn that nobody has told."""

from __future__ import annotations

import pytest

from routecheck.model.objects import MarkKind
from routecheck.writers.drawing.mark_symbols import mark_symbol

UNDECIDED = ("lateral", "cardinal", "unknown")


@pytest.mark.parametrize("colours", [(), ("black", "yellow")])
def test_a_cardinal_without_a_quadrant_has_a_question_mark_and_no_cones(
    colours: tuple[str, ...],
) -> None:
    drawn = mark_symbol("cardinal", colours, "a")
    assert drawn.count(">?</text>") == 1
    # The body's outline twice, and once to clip its bands; a named one has two cones more.
    assert drawn.count("<path") == 3 and mark_symbol("north", colours, "a").count("<path") == 5
    if not colours:
        assert drawn.count("<rect") == 1  # no bands of any quadrant


def test_each_kind_has_a_symbol_of_its_own() -> None:
    drawn = [mark_symbol(kind.value, (), "a") for kind in MarkKind]
    preferred = [kind for kind in MarkKind if kind.value.startswith("preferred")]
    # A preferred-channel mark differs by its colours alone.
    assert len(set(drawn)) == len(drawn) - len(preferred)
    for kind, symbol in zip(MarkKind, drawn, strict=True):
        assert (">?</text>" in symbol) is (kind.value in UNDECIDED)
