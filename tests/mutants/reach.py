"""Which test calls which function, and how long each test takes: collected once for each test file.

Kept in build/mutants/reach.json. A file whose text has changed is run anew; a change to the package
alone is not noticed (remove the file for that).
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from hypothesis import Phase, settings

ROOT = Path(__file__).resolve().parent.parent.parent
STATE = ROOT / "build" / "mutants"
TESTS = ("nav", "model", "checks", "published", "survey", "golden", "properties")
IMPORT = "import"
"""Stands for a test: what is called while modules are imported and tests are collected."""
_PACKAGE = str(ROOT / "routecheck") + os.sep


class Reach:
    """Reach by test: `tests[node] = (seconds, functions)`, a function as `path::qualified name`."""

    def __init__(self) -> None:
        self.path = STATE / "reach.json"
        kept: dict[str, Any] = {}
        if self.path.is_file():
            kept = json.loads(self.path.read_text(encoding="utf-8"))
        self.files: dict[str, str] = kept.get("files", {})
        self.tests: dict[str, tuple[float, list[str]]] = kept.get("tests", {})
        self._by_function: dict[str, list[str]] = {}

    def stale(self) -> list[str]:
        """The test files that have to be run."""
        now = [
            str(path.relative_to(ROOT))
            for folder in TESTS
            for path in sorted((ROOT / "tests" / folder).glob("test_*.py"))
        ]
        good = {path for path in now if self.files.get(path) == _digest(path)}
        self.files = {path: digest for path, digest in self.files.items() if path in good}
        self.tests = {
            test: kept
            for test, kept in self.tests.items()
            if test == IMPORT or test.split("::")[0] in good
        }
        return [path for path in now if path not in good]

    def keep(self) -> None:
        """Written whole or not at all."""
        STATE.mkdir(parents=True, exist_ok=True)
        new = self.path.with_suffix(".new")
        new.write_text(json.dumps({"files": self.files, "tests": self.tests}), encoding="utf-8")
        new.replace(self.path)

    def of(self, function: str) -> list[str]:
        """The tests that call a function, fastest first."""
        if not self._by_function:
            for test, (_, called) in sorted(self.tests.items(), key=lambda one: one[1][0]):
                for one in called if test != IMPORT else ():
                    self._by_function.setdefault(one, []).append(test)
        return self._by_function.get(function, [])

    def of_module(self, path: str) -> list[str]:
        """The tests that call anything in a module, fastest first."""
        self.of("")
        found = {
            test
            for one, tests in self._by_function.items()
            if one.startswith(path + "::")
            for test in tests
        }
        return sorted(found, key=lambda test: self.tests[test][0])


class Tracer:
    """A pytest plugin that fills a Reach."""

    def __init__(self, reach: Reach) -> None:
        self.reach = reach
        self._seen: set[Any] = set()
        sys.settrace(self._call)

    def _call(self, frame: FrameType, event: str, argument: object) -> None:
        self._seen.add(frame.f_code)

    def _taken(self) -> list[str]:
        sys.settrace(None)
        found = {
            f"{code.co_filename[len(str(ROOT)) + 1 :]}::{code.co_qualname.split('.<locals>')[0]}"
            for code in self._seen
            if code.co_filename.startswith(_PACKAGE)
        }
        self._seen.clear()
        return sorted(found)

    def pytest_collection_finish(self) -> None:
        """All that was called so far was called by imports."""
        before = self.reach.tests.get(IMPORT, (0.0, []))[1]
        self.reach.tests[IMPORT] = (0.0, sorted({*before, *self._taken()}))

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """One test with its fixtures."""
        self._seen.clear()
        start = time.process_time()
        sys.settrace(self._call)
        result = yield
        self.reach.tests[item.nodeid] = (time.process_time() - start, self._taken())
        return result

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """A test that fails as things stand kills every mutant: none may."""
        if report.failed:
            pytest.exit(f"{report.nodeid} fails without any mutant:\n{report.longrepr}", 3)


@pytest.hookimpl(tryfirst=True)
def pytest_sessionstart() -> None:
    """Few examples, and the first failure is enough: no smaller one is looked for."""
    settings.register_profile(
        "mutants",
        settings.get_profile("ci"),
        max_examples=25,
        phases=[Phase.explicit, Phase.generate],
        report_multiple_bugs=False,
    )
    settings.load_profile("mutants")


def collect() -> Reach:
    """The reach of all tests; runs those of new and changed files, and keeps it file by file."""
    reach = Reach()
    for path in reach.stale():
        print(f"collecting what {path} calls", file=sys.stderr)
        # A process of its own, so that what imports call is seen of each file.
        child = os.fork()
        if child == 0:
            args = ["-q", "-p", "no:cacheprovider", "--no-header", path]
            code = pytest.main(args, plugins=[sys.modules[__name__], Tracer(reach)])
            if code in (0, 5):
                reach.files[path] = _digest(path)
                reach.keep()
            os._exit(int(code))
        _, status = os.waitpid(child, 0)
        if os.waitstatus_to_exitcode(status) not in (0, 5):
            raise SystemExit(f"{path}: the tests have to pass before mutants are tried")
        reach = Reach()
    return reach


def _digest(path: str) -> str:
    return hashlib.sha256((ROOT / path).read_bytes()).hexdigest()
