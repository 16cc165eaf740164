"""The fuzzing's own parts: every target takes its seeds, and damage repeats."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.fuzz.mutate import HOW, mutated
from tests.fuzz.targets import targets

_EVERY = targets()


@pytest.mark.parametrize("name", list(_EVERY))
def test_a_target_takes_its_first_seed(tmp_path: Path, name: str) -> None:
    """A target whose seeds are refused at the door would fuzz the door only."""
    target = _EVERY[name]
    path = tmp_path / target.file
    path.write_bytes(target.seeds[0])
    target.read(path)


def test_damage_of_every_kind_is_done_and_repeats() -> None:
    import random

    data = bytes(range(256)) * 40 + b" 12.5 99 "
    kinds = set()
    for seed in range(200):
        how, out = mutated(data, data[::-1], random.Random(seed))
        assert (how, out) == mutated(data, data[::-1], random.Random(seed))
        kinds.add(how)
        assert len(out) < 100 * len(data)
    assert kinds == set(HOW)
