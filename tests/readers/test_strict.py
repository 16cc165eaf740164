"""Numbers, names and bytes, taken strictly."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.errors import BadInput
from routecheck.readers.strict import cleaned, decimal, finite, nearest, read_bytes, shown


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_float_survives(value: float) -> None:
    assert decimal(repr(value)) == value


@given(st.text(max_size=60))
def test_a_number_is_finite_or_refused(text: str) -> None:
    try:
        value = decimal(text)
    except ValueError:
        return
    assert math.isfinite(value) and float(text) == value


@pytest.mark.parametrize("text", ["1_0", "nan", "-inf", "0x1", "1e999", "1 2", "1,5", "--1", "."])
def test_numbers_in_doubt_are_refused(text: str) -> None:
    with pytest.raises(ValueError):
        decimal(text)


@pytest.mark.parametrize("value", [True, "1", None, [1], float("nan"), float("inf"), 10**400])
def test_values_that_are_no_numbers(value: object) -> None:
    with pytest.raises(ValueError):
        finite(value)


@given(st.text(max_size=400))
def test_a_cleaned_name_is_one_short_printable_line(text: str) -> None:
    name = cleaned(text)
    assert len(name) <= 200 and name == name.strip()
    assert all(c.isprintable() for c in name)
    assert cleaned(name) == name


def test_words_that_were_meant() -> None:
    assert nearest("draft", ("name", "draught")) == "draught"
    assert nearest("zzz", ("name", "draught")) == ""
    assert shown(int("0x" + "f" * 9000, 16)) == "a huge number"
    assert len(shown("x" * 500)) <= 60


def test_a_pipe_is_no_file(tmp_path: Path) -> None:
    import os

    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(BadInput, match="not a plain file"):
        read_bytes(tmp_path / "pipe", most_bytes=10)
