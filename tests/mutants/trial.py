"""One mutant at a time, each in a forked child of one process that has all tests collected.

A mutant inside a function replaces the code of the function that is already imported; one at a
module's level, or in a function that imports call, has the package imported anew in the child.
"""

from __future__ import annotations

import ast
import contextlib
import gc
import importlib.abc
import importlib.machinery
import importlib.util
import os
import resource
import shutil
import signal
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from functools import _lru_cache_wrapper
from pathlib import Path
from types import CodeType, FunctionType, ModuleType

import pytest

from tests.mutants import reach
from tests.mutants.reach import ROOT

KILLED, SURVIVED, TIMED_OUT, BROKEN = "killed", "survived", "timed out", "broken"
_MOST_MEMORY_BYTES = 3 << 30


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What became of a mutant, and the test that killed it."""

    outcome: str
    by: str


class Planter:
    """All functions of the package in this process, by file, qualified name and first line."""

    def __init__(self) -> None:
        self.functions: dict[tuple[str, str, int], list[FunctionType]] = {}
        self.caches: list[_lru_cache_wrapper[object]] = []
        gc.collect()
        for one in gc.get_objects():
            if isinstance(one, FunctionType):
                code = one.__code__
                if code.co_filename.startswith(str(ROOT / "routecheck")):
                    key = (code.co_filename, code.co_qualname, code.co_firstlineno)
                    self.functions.setdefault(key, []).append(one)
            elif isinstance(one, _lru_cache_wrapper) and one.__module__.startswith("routecheck"):
                self.caches.append(one)
        gc.freeze()

    def plant(self, path: str, tree: ast.Module, function: tuple[str, int]) -> bool:
        """Whether the function could be replaced."""
        outer = [
            code for code in _codes(compile(tree, path, "exec")) if _key(code) == (path, *function)
        ]
        if len(outer) != 1 or (path, *function) not in self.functions:
            return False
        for code in _codes(outer[0]):
            for one in self.functions.get(_key(code), ()):
                if one.__code__.co_freevars != code.co_freevars:
                    return False
                one.__code__ = code
        for cache in self.caches:
            cache.cache_clear()
        return True


def _key(code: CodeType) -> tuple[str, str, int]:
    return code.co_filename, code.co_qualname, code.co_firstlineno


def _codes(code: CodeType) -> list[CodeType]:
    inner = [one for one in code.co_consts if isinstance(one, CodeType)]
    return [code, *(found for one in inner for found in _codes(one))]


class Broken(Exception):
    """The apparatus failed, not a test: such a mutant is not counted as tried."""


class _Failed(Exception):
    """Ends a child at the first failure."""


class _Watch:
    """Notes the first failure; where the tests' loop is our own, it also ends it."""

    def __init__(self, *, ends: bool) -> None:
        self.ends, self.first = ends, ""

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self._note(report, report.nodeid)

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        self._note(report, f"{report.nodeid}, while it was imported")

    def _note(self, report: pytest.TestReport | pytest.CollectReport, what: str) -> None:
        if report.failed:
            self.first = self.first or what
            if self.ends:
                raise _Failed(what)


def in_place(items: Sequence[pytest.Item]) -> str:
    """Run collected tests; the first that fails, or nothing."""
    config = items[0].config
    config.pluginmanager.register(_Watch(ends=True))
    try:
        for item, following in zip(items, [*items[1:], None], strict=True):
            config.hook.pytest_runtest_protocol(item=item, nextitem=following)
    except _Failed as failed:
        return str(failed)
    return ""


class _Loader(importlib.machinery.SourceFileLoader):
    def __init__(self, name: str, path: str, tree: ast.Module) -> None:
        super().__init__(name, path)
        self._tree = tree

    def get_code(self, fullname: str) -> CodeType:
        return compile(self._tree, self.path, "exec")


class _Finder(importlib.abc.MetaPathFinder):
    def __init__(self, name: str, path: str, tree: ast.Module) -> None:
        self._name, self._path, self._tree = name, path, tree

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        if fullname != self._name:
            return None
        loader = _Loader(fullname, self._path, self._tree)
        return importlib.util.spec_from_file_location(fullname, self._path, loader=loader)


def afresh(path: str, tree: ast.Module, tests: Sequence[str]) -> str:
    """Import the package anew with the mutant in it and run tests; the first that fails."""
    name = str(Path(path).relative_to(ROOT).with_suffix("")).replace(os.sep, ".")
    name = name.removesuffix(".__init__")
    for module in list(sys.modules):
        kept = module.startswith("tests.mutants") or module == "tests"
        if module.split(".")[0] in ("routecheck", "tests", "conftest") and not kept:
            del sys.modules[module]
    sys.meta_path.insert(0, _Finder(name, path, tree))
    files = list(dict.fromkeys(test.split("::")[0] for test in tests))
    wanted = set(tests)

    class Chosen:
        def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
            items[:] = [i for i in items if i.nodeid in wanted or i.nodeid.split("::")[0] in wanted]

    watch = _Watch(ends=False)
    args = ["-q", "-x", "-p", "no:cacheprovider", *files]
    code = pytest.main(args, plugins=[reach, watch, Chosen()])
    if code == pytest.ExitCode.OK:
        return ""
    if code in (pytest.ExitCode.TESTS_FAILED, pytest.ExitCode.INTERRUPTED) and watch.first:
        return watch.first
    if code == pytest.ExitCode.NO_TESTS_COLLECTED:
        return ""
    raise Broken(f"pytest ended with {int(code)}")


def in_child(run: object, *, cpu_s: float, scratch: Path) -> Outcome:
    """`run()` in a forked child with limits; what it returns is the test that failed."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.setsid()
            os.close(reading)
            resource.setrlimit(resource.RLIMIT_CPU, (int(cpu_s) + 1, int(cpu_s) + 2))
            resource.setrlimit(resource.RLIMIT_AS, (_MOST_MEMORY_BYTES, _MOST_MEMORY_BYTES))
            try:
                said = f".{run()}"  # type: ignore[operator]
            except Broken as error:
                said = f"!{error}"
            except BaseException as error:  # any end but a quiet one kills
                said = f".{type(error).__name__}: {error}"
            os.write(writing, said[:400].encode())
        finally:
            os._exit(0)
    os.close(writing)
    status, deadline = None, time.monotonic() + 10 * cpu_s
    while status is None and time.monotonic() < deadline:
        done, code = os.waitpid(child, os.WNOHANG)
        if done:
            status = code
        else:
            time.sleep(0.01)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    if status is None:
        os.waitpid(child, 0)
    with os.fdopen(reading, "rb") as pipe:
        os.set_blocking(reading, False)
        said = (pipe.read() or b"").decode(errors="replace")
    shutil.rmtree(scratch, ignore_errors=True)
    if not said:
        ended = status is not None and not os.WIFSIGNALED(status)
        return Outcome(outcome=KILLED if ended else TIMED_OUT, by="the child's limits")
    if said[0] == "!":
        return Outcome(outcome=BROKEN, by=said[1:])
    return Outcome(outcome=KILLED if said != "." else SURVIVED, by=said[1:])
