"""Whole sample routes against kept reports, byte for byte.

What is kept is what we computed: it says that nothing has changed, not that it is right. What
must be right whatever the numbers is in test_sample_routes.py.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from routecheck.writers.findings_json import to_findings_json
from tests.golden.sample import ROUTES, vetted

HERE = Path(__file__).parent


@pytest.mark.parametrize("name", ROUTES)
def test_report_is_as_kept(name: str, root: Path, request: pytest.FixtureRequest) -> None:
    kept = HERE / f"{Path(name).stem}.json"
    made = to_findings_json(vetted(root, name).report)
    if request.config.getoption("--update-golden"):
        kept.write_text(made, encoding="utf-8")
    assert made == kept.read_text(encoding="utf-8"), "run with --update-golden, and look"


def test_every_kept_report_has_its_route() -> None:
    assert {path.stem for path in HERE.glob("*.json")} == {Path(name).stem for name in ROUTES}


def test_kept_example_is_of_today(root: Path) -> None:
    """The example in outputs/ is made by `make example`; its findings are the golden ones."""
    example = root / "outputs/example/findings.json"
    assert example.read_bytes() == (HERE / "over-a-shoal.json").read_bytes(), "run `make example`"
