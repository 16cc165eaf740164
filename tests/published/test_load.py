"""The loader refuses an entry that is not whole, and every file of values loads."""

from __future__ import annotations

import pytest

from tests.published.load import HERE, parsed, published

WHOLE = """
[[value]]
name = "n"
kind = "k"
source = "Handbook, edition 3, table 2"
inputs = { a = 1.0 }
expected = { b_m = 2.0, course_deg = 359.9 }
tolerance = { b_m = 0.1, course_deg = 0.3 }
"""


def test_a_whole_entry_loads_and_checks() -> None:
    (value,) = parsed(WHOLE, "k")
    value.check(b_m=2.05, course_deg=0.1)
    with pytest.raises(AssertionError, match="b_m"):
        value.check(b_m=2.2, course_deg=0.1)
    with pytest.raises(AssertionError, match="course_deg"):
        value.check(b_m=2.0, course_deg=0.3)
    with pytest.raises(AssertionError, match="not the values"):
        value.check(b_m=2.0)


@pytest.mark.parametrize("key", ["name", "kind", "source", "inputs", "expected", "tolerance"])
def test_an_entry_that_lacks_something_fails(key: str) -> None:
    text = "\n".join(line for line in WHOLE.splitlines() if not line.startswith(key))
    with pytest.raises(ValueError, match=f"no {key}"):
        parsed(text)


def test_an_empty_source_is_no_source() -> None:
    for source in ("", "a book"):
        with pytest.raises(ValueError, match="source"):
            parsed(WHOLE.replace("Handbook, edition 3, table 2", source))
    with pytest.raises(ValueError, match="tolerance"):
        parsed(WHOLE.replace(", course_deg = 0.3 }", " }"))
    with pytest.raises(ValueError, match="no published value"):
        parsed(WHOLE, "other")


@pytest.mark.parametrize("file", sorted(path.stem for path in HERE.glob("*.toml")))
def test_every_file_of_values_loads(file: str) -> None:
    assert published(file)
