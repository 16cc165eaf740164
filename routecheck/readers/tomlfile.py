"""TOML from people: bounded, every key known, every value with its unit, errors by line."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import Any, TypeVar

from routecheck import units
from routecheck.model.errors import BadInput
from routecheck.readers.strict import cleaned, decoded, finite, nearest, read_bytes, shown

MOST_BYTES = 256 * 2**10
_LONGEST_LINE = 10_000

Value = TypeVar("Value")


class Table:
    """One table of a TOML file; whatever is wrong in it is told with file, table and key."""

    def __init__(self, values: Mapping[str, Any], *, file: str, where: str = "") -> None:
        self.values, self.file, self.where = values, file, where

    def bad(self, wrong: str, *, key: str = "", do: str = "") -> BadInput:
        """What is wrong here."""
        place = ", ".join(part for part in (self.where, cleaned(key, longest=60)) if part)
        return BadInput(file=self.file, where=place, wrong=wrong, do=do)

    def refuse_unknown(self, known: Collection[str]) -> None:
        """Raise BadInput for a key that is not known, with the one that was probably meant."""
        for key in self.values:
            if key not in known:
                meant = nearest(key, known)
                do = f"did you mean {meant!r}? " if meant else ""
                wrong = f"{cleaned(key, longest=60)!r} is not a key here"
                raise self.bad(wrong, do=f"{do}known keys: {', '.join(known)}")

    def read(self, key: str, reader: Callable[[Any], Value]) -> Value | None:
        """The value through a reader that raises ValueError in words; None where it is absent."""
        if key not in self.values:
            return None
        try:
            return reader(self.values[key])
        except ValueError as error:
            raise self.bad(str(error), key=key) from None

    def text(self, key: str) -> str | None:
        """A text, cleaned."""

        def reader(value: Any) -> str:
            if not isinstance(value, str):
                raise ValueError(f"{shown(value)} is not text in quotes")
            return cleaned(value)

        return self.read(key, reader)

    def truth(self, key: str) -> bool | None:
        """True or false."""

        def reader(value: Any) -> bool:
            if not isinstance(value, bool):
                raise ValueError(f"{shown(value)} is neither true nor false")
            return value

        return self.read(key, reader)

    def number(self, key: str) -> float | None:
        """A finite number without a unit."""
        return self.read(key, finite)

    def length_m(
        self, key: str, *, most_m: float, above_zero: bool = False, signed: bool = False
    ) -> float | None:
        """A length with its unit, from zero (or above) up to `most_m`."""

        def reader(value: Any) -> float:
            length = units.length_m(value, what="length")
            if not signed and (length < 0.0 or (above_zero and length == 0.0)):
                limit = "above zero" if above_zero else "zero or more"
                raise ValueError(f"{shown(value)} is not {limit}")
            if abs(length) > most_m:
                raise ValueError(f"{shown(value)} is more than {most_m:g} m")
            return length

        return self.read(key, reader)

    def speed_kn(self, key: str, *, most_kn: float = 100.0) -> float | None:
        """A speed with its unit, above zero."""

        def reader(value: Any) -> float:
            speed = units.speed_kn(value)
            if not speed > 0.0:
                raise ValueError(f"{shown(value)} is not above zero")
            if speed > most_kn:
                raise ValueError(f"{shown(value)} is more than {most_kn:g} kn")
            return speed

        return self.read(key, reader)

    def duration_s(self, key: str, *, most_s: float) -> float | None:
        """A time with its unit, zero or more."""

        def reader(value: Any) -> float:
            duration = units.duration_s(value)
            if duration < 0.0:
                raise ValueError(f"{shown(value)} is not zero or more")
            if duration > most_s:
                raise ValueError(f"{shown(value)} is more than {most_s / 86400.0:g} days")
            return duration

        return self.read(key, reader)

    def table(self, key: str) -> Table | None:
        """A table below this one."""
        if key not in self.values:
            return None
        value = self.values[key]
        if not isinstance(value, dict):
            raise self.bad(f"{shown(value)} is not a table", key=key, do=f"write [{key}]")
        return Table(value, file=self.file, where=f"[{key}]")

    def tables(self, key: str, *, most: int) -> list[Table]:
        """The tables written ``[[key]]``, numbered from 1 in messages; [] where there are none."""
        value = self.values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(part, dict) for part in value):
            raise self.bad(f"write each one under [[{key}]]", key=key)
        if len(value) > most:
            raise self.bad(f"there are more than {most}", key=key)
        return [
            Table(part, file=self.file, where=f"[[{key}]] {number}")
            for number, part in enumerate(value, start=1)
        ]


def read_toml(path: Path) -> Table:
    """A TOML file's top table. Raises BadInput with the line number where it is not TOML."""
    file = str(path)
    text = decoded(read_bytes(path, most_bytes=MOST_BYTES), file=file)
    # Keys of many dots take the parser quadratic time.
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > _LONGEST_LINE:
            wrong = f"the line has more than {_LONGEST_LINE} characters"
            raise BadInput(file=file, where=f"line {number}", wrong=wrong)
    try:
        return Table(tomllib.loads(text), file=file)
    except RecursionError:
        raise BadInput(file=file, wrong="its lists are nested too deep") from None
    except ValueError as error:  # TOMLDecodeError, and numbers that Python will not read
        message = cleaned(str(error))
        found = re.search(r" \(at line (\d+), column \d+\)$", message)
        line = found.group(1) if found else ""
        if message.endswith(" (at end of document)"):
            line = str(text.rstrip().count("\n") + 1)
        where = f"line {line}" if line else ""
        said = re.sub(r" \(at [^()]*\)$", "", message)
        raise BadInput(file=file, where=where, wrong=f"this is not TOML ({said})") from None


def plain_file_name(value: Any) -> str:
    """The name of a file beside the one that names it. Raises ValueError for a path."""
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} is not text in quotes")
    if not value or value != Path(value).name or "\\" in value or not value.isprintable():
        raise ValueError(f"{shown(value)} is not the plain name of a file beside this one")
    return value
