"""Fixtures that all tests share."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "quick", max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile(
    "full", max_examples=3000, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
# In continuous integration the same examples each time: what lands is not a matter of luck. At the
# desk they are drawn anew, and what they find is mended there.
settings.register_profile("ci", settings.get_profile("quick"), derandomize=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))

ROOT = Path(__file__).resolve().parent.parent
_DATA = Path(os.environ.get("ROUTECHECK_DATA", ROOT.parent / "shared" / "data"))


def pytest_addoption(parser: pytest.Parser) -> None:
    """One option of our own."""
    parser.addoption(
        "--update-golden",
        action="store_true",
        help="write the kept reports of tests/golden anew; look at the difference before a commit",
    )


@pytest.fixture(scope="session")
def real_data() -> Path:
    """The folder of real open data; the test is skipped, with the reason, where it is missing."""
    if not (_DATA / "routes").is_dir():
        pytest.skip(f"no real open data at {_DATA}: set ROUTECHECK_DATA to its folder")
    return _DATA


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> None:
    """No test reads or fills the user's own cache."""
    os.environ["ROUTECHECK_CACHE"] = str(tmp_path_factory.mktemp("cache"))


@pytest.fixture(scope="session")
def root() -> Path:
    """The project's root."""
    return ROOT


@pytest.fixture(scope="session")
def chromium() -> str:
    """The browser's path. Without one the test is skipped, or fails where one is required."""
    found = shutil.which("chromium")
    if found is None:
        why = "no chromium here: install the Debian package chromium"
        if os.environ.get("ROUTECHECK_BROWSER") == "required":
            pytest.fail(why)
        pytest.skip(why)
    return found
