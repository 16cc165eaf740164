"""A check is found by being there: the files of the package and the checks are the same list."""

from __future__ import annotations

import importlib
from pathlib import Path

import pytest

import routecheck.checks
from routecheck.checks import all_checks

FILES = sorted(
    path.stem
    for path in Path(routecheck.checks.__file__).parent.glob("*.py")
    if path.stem != "__init__"
)


def test_each_file_is_a_check_and_they_are_in_the_order_of_their_names() -> None:
    named = [check.name for check in all_checks()]
    assert named == sorted(stem.replace("_", "-") for stem in FILES)
    for check in all_checks():
        assert check.function.__module__ == f"routecheck.checks.{check.name.replace('-', '_')}"


def test_each_file_is_imported(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[str] = []
    monkeypatch.setattr(importlib, "import_module", seen.append)
    all_checks()
    assert sorted(seen) == [f"routecheck.checks.{stem}" for stem in FILES]
