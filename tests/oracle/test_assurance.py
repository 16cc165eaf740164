"""The note on assurance names only what is there."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
NOTE = (ROOT / "docs" / "assurance.md").read_text(encoding="utf-8")


def test_every_file_and_test_that_the_note_names_exists() -> None:
    named = re.findall(r"((?:tests|routecheck)/[\w/]+\.py)(?:::(\w+))?", NOTE)
    assert len(named) > 40
    for file, test in named:
        path = ROOT / file
        assert path.is_file(), file
        assert f"def {test}" in path.read_text(encoding="utf-8"), f"{file}::{test}"
    for folder in re.findall(r"`(tests/\w+/)`", NOTE):
        assert (ROOT / folder).is_dir()
