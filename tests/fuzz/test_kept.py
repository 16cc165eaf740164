"""Inputs that once broke a reader are read again; every target takes its own seeds."""

from __future__ import annotations

from pathlib import Path

import pytest

from routecheck.model.errors import BadInput
from tests.fuzz.mutate import HOW, mutated
from tests.fuzz.targets import KEPT, targets

_EVERY = targets()


@pytest.mark.parametrize("name", list(_EVERY))
def test_a_target_takes_its_first_seed(tmp_path: Path, name: str) -> None:
    """A target whose seeds are refused at the door would fuzz the door only."""
    target = _EVERY[name]
    path = tmp_path / target.file
    path.write_bytes(target.seeds[0])
    target.read(path)


def test_what_once_broke_a_reader(tmp_path: Path) -> None:
    kept = sorted(KEPT.glob("*--*"))
    assert kept
    for one in kept:
        target = _EVERY[one.name.split("--")[0]]
        path = tmp_path / target.file
        path.write_bytes(one.read_bytes())
        try:
            target.read(path)
        except BadInput as error:
            assert str(error).isprintable()


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
