"""Every number names its unit: the last word of the name of a float is its unit.

Walks the fields of all public dataclasses and the parameters and results of all formulae.
"""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from types import ModuleType

import pytest

import routecheck
import routecheck.nav

UNITS = {"m", "m2", "nmi", "kn", "s", "h", "min", "deg", "rad", "century", "px"}
# Numbers without a unit, and vectors of the plane whose unit stands in the docstring.
WITHOUT_UNIT = {
    "share",  # a part of one
    "scale",  # a chart's denominator
    "year",  # of the calendar
    "reach",  # in cells of the grid, as are rows and columns
    "row",
    "column",
    "slope",
    "sign",
    "sine",
    "turn",  # of longitude, in columns of a grid
    "unit",  # metres_per_unit: of a file's own unit …
    "offset",  # … in which this is given
}


def modules(package: ModuleType) -> Iterator[ModuleType]:
    for found in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
        if not found.name.endswith("__main__"):
            yield importlib.import_module(found.name)


def is_number(annotation: object) -> bool:
    """Whether an annotation, as it is written, means a float or an array of floats."""
    text = str(annotation).replace(" ", "")
    parts = set(text.split("|")) - {"None"}
    return bool(parts) and parts <= {"float", "Floats", "ArrayLike", "NDArray[np.float64]"}


def unit_is_named(name: str) -> bool:
    last = (
        name.rstrip("0123456789").rsplit("_", maxsplit=1)[-1]
        if name[-1:].isdigit()
        else (name.rsplit("_", maxsplit=1)[-1])
    )
    return last in UNITS or last in WITHOUT_UNIT


def fields() -> list[tuple[str, str]]:
    found = []
    for module in modules(routecheck):
        for cls in vars(module).values():
            if inspect.isclass(cls) and cls.__module__ == module.__name__:
                if not dataclasses.is_dataclass(cls) or cls.__name__.startswith("_"):
                    continue
                for field in dataclasses.fields(cls):
                    if is_number(field.type):
                        found.append((f"{module.__name__}.{cls.__name__}", field.name))
    return found


def parameters() -> list[tuple[str, str]]:
    found = []
    for module in modules(routecheck.nav):
        for function in vars(module).values():
            if not inspect.isfunction(function) or function.__module__ != module.__name__:
                continue
            for parameter in inspect.signature(function).parameters.values():
                if is_number(parameter.annotation):
                    found.append((f"{module.__name__}.{function.__name__}", parameter.name))
    return found


def test_there_is_something_to_walk() -> None:
    assert len(fields()) > 60
    assert len(parameters()) > 20


def test_fields_of_dataclasses_name_their_unit() -> None:
    assert [f"{cls}.{name}" for cls, name in fields() if not unit_is_named(name)] == []


def test_parameters_of_formulae_name_their_unit() -> None:
    assert [f"{where}({name})" for where, name in parameters() if not unit_is_named(name)] == []


@pytest.mark.parametrize("name", ["depth", "draught_ft", "speed", "course"])
def test_a_number_without_a_known_unit_is_caught(name: str) -> None:
    assert not unit_is_named(name)
