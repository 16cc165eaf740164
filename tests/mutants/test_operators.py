"""The mutants themselves: each is another program, and the one that was asked for."""

from __future__ import annotations

import ast

from tests.mutants.operators import mutants, mutated

SOURCE = '''"""A text."""
LIMIT = 3


class Shelf:
    @property
    def low(self) -> bool:
        """Another text."""
        return self.depth_m < LIMIT and min(self.tide_m, 0.0) >= -1.5


def rows(values: list[float]) -> list[float]:
    if not values:
        raise ValueError(f"{len(values) + 1} rows")
    values[0] += 1
    return [value for value in values[1:] if value > 0]
'''


def test_each_mutant_is_another_program_and_compiles() -> None:
    found = mutants(SOURCE)
    programs = {ast.unparse(mutated(SOURCE, one.number)) for one in found}
    assert len(programs) == len(found)
    assert ast.unparse(ast.parse(SOURCE)) not in programs
    for one in found:
        compile(mutated(SOURCE, one.number), "shelf.py", "exec")


def test_what_is_changed_and_where() -> None:
    said = {(one.line, one.what): one.function for one in mutants(SOURCE)}
    assert said[2, "3 → 4"] is None
    low = ("Shelf.low", 6)
    assert said[9, "self.depth_m < LIMIT → self.depth_m <= LIMIT"] == low
    assert said[9, "min(self.tide_m, 0.0) → max(self.tide_m, 0.0)"] == low
    assert said[9, "-1.5 → 1.5"] == low
    rows = ("rows", 12)
    assert said[13, "removed: if not values"] == rows
    assert said[15, "values[0] += 1 → pass"] == rows
    assert said[16, "1: → :"] == rows
    assert said[16, "removed: … if value > 0"] == rows


def test_texts_decorators_and_messages_stay() -> None:
    lines = {one.line for one in mutants(SOURCE)}
    assert not lines & {1, 5, 6, 8}
    assert not [one for one in mutants(SOURCE) if "len(values)" in one.what.split(" → ")[-1]]
