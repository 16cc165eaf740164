"""What holds for every check: a page in its docstring, examples that do as they say, a test file.

Examples are lines of three sorts:
    found: 99499      a drawing (tests/sketch.py) on which the check says something
    quiet: 99599      a drawing on which it says nothing
    in words: …       a case that no drawing shows; a test in the check's own test file bears the
                      same words as its docstring
"""

from __future__ import annotations

import ast
import importlib
import pkgutil
import re
from pathlib import Path

import pytest

import routecheck.checks
from routecheck.checks import all_checks
from routecheck.model.chart import Severity
from routecheck.model.rule import SECTIONS, Check
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.sketch import boat, charts_of, passage, view_of

CHECKS = {check.name: check for check in all_checks()}
MODULES = [module.name for module in pkgutil.iter_modules(routecheck.checks.__path__)]
HERE = Path(__file__).parent


def examples(check: Check) -> list[tuple[str, str]]:
    """(sort, text) of each example; a line that begins none goes on with the last."""
    found: list[tuple[str, str]] = []
    for line in check.sections().get("Examples", "").splitlines():
        start = re.match(r"(found|quiet|in words): (.*)", line)
        if start:
            found.append((start.group(1), start.group(2)))
        else:
            sort, text = found.pop()
            found.append((sort, f"{text} {line.strip()}"))
    return found


DRAWN = [
    pytest.param(check, sort, text, id=f"{name}-{sort}-{text}")
    for name, check in CHECKS.items()
    for sort, text in examples(check)
    if sort != "in words"
]


def words_of_tests(module: str) -> set[str]:
    """The docstrings of the tests in a check's test file, on one line each."""
    tree = ast.parse((HERE / f"test_{module}.py").read_text(encoding="utf-8"))
    texts = (
        ast.get_docstring(node)
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")
    )
    return {" ".join(text.split()) for text in texts if text}


def test_there_are_checks_and_drawings() -> None:
    assert len(CHECKS) >= 10
    assert len(DRAWN) >= 8


@pytest.mark.parametrize("name", MODULES)
def test_file_holds_one_check_of_its_own_name(name: str) -> None:
    module = importlib.import_module(f"routecheck.checks.{name}")
    assert [c for c in CHECKS.values() if c.function.__module__ == module.__name__] == [
        CHECKS[name.replace("_", "-")]
    ]
    assert CHECKS[name.replace("_", "-")].function.__name__ == name


@pytest.mark.parametrize("name", MODULES)
def test_check_has_a_test_file(name: str) -> None:
    assert (HERE / f"test_{name}.py").is_file()


@pytest.mark.parametrize("check", CHECKS.values(), ids=CHECKS)
def test_docstring_has_its_sections_in_order(check: Check) -> None:
    sections = check.sections()
    assert tuple(sections) == SECTIONS
    assert [name for name, text in sections.items() if not text.strip()] == []
    assert check.summary.endswith(".") and len(check.summary) <= 100
    assert examples(check) != []


@pytest.mark.parametrize("check", CHECKS.values(), ids=CHECKS)
def test_name_is_the_fault_and_not_the_advice(check: Check) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", check.name)
    assert not set(check.name.split("-")) & {"check", "avoid", "keep", "should", "must", "safe"}


@pytest.mark.parametrize(("check", "sort", "drawing"), DRAWN)
def test_drawn_example_does_as_it_says(check: Check, sort: str, drawing: str) -> None:
    found = list(check.function(view_of(drawing), passage()))
    assert bool(found) == (sort == "found")
    assert {one.severity for one in found} <= check.gives | {Severity.NOTE}
    assert {one.check for one in found} <= {check.name}


@pytest.mark.parametrize(("check", "sort", "drawing"), DRAWN)
def test_survey_finds_what_is_drawn(check: Check, sort: str, drawing: str) -> None:
    """The same drawing on a chart, through the survey, gives the check the same to say."""
    route, charts = charts_of(drawing)
    half_m = view_of(drawing).port_m
    _, views = survey(route, charts, SurveySettings(cross_track_m=half_m))
    found = [one for view in views for one in check.function(view, passage())]
    assert bool(found) == (sort == "found")


@pytest.mark.parametrize("check", CHECKS.values(), ids=CHECKS)
def test_example_in_words_has_a_test_with_these_words(check: Check) -> None:
    wanted = {" ".join(text.split()) for sort, text in examples(check) if sort == "in words"}
    if wanted:
        said = words_of_tests(check.name.replace("-", "_"))
        assert wanted - said == set()


def test_sketch_boat_needs_five_metres() -> None:
    assert boat().needed_m == 5.0
