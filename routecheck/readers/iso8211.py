"""The outside of an ISO 8211 file: its records, counted, and the head of an S-57 data set.

GDAL reads the objects. This looks at what GDAL does not tell: whether the file ends in the middle
of a record, how many objects it holds and says that it holds, and which edition and update it is.
Structure: ISO/IEC 8211:1994; fields: IHO S-57 edition 3.1, part 3, clause 7.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

LEADER = 24
FIELD_END = 0x1E
_PADDING = b"\x00\x1a\r\n ^"
"""What may stand after the last record."""
_FORMAT = re.compile(r"(\d*)(?:(A|I|R|S|C)(?:\((\d+)\))?|B\((\d+)\)|b([1-5])([1248]))")
INSERT, DELETE, MODIFY = 1, 2, 3
"""RUIN, what an update does with a record: S-57 part 3, clause 8.4.2.2."""

Value = int | str


class Damaged(ValueError):
    """The file's structure is broken, in words."""


@dataclass(frozen=True, kw_only=True)
class CellHead:
    """What an S-57 file says of itself, and what it was found to hold."""

    s57: bool
    """False for other ISO 8211 data sets (S-101 and its like, exchange catalogues)."""
    product: str
    """Such as "S-57" or "S-101", for messages."""
    purpose: int | None
    """EXPP: 1 a new data set or a re-issue, 2 an update."""
    name: str
    edition: str
    update: int | None
    """UPDN: for a base cell the last update that it holds already."""
    issued: str
    """ISDT, as written (YYYYMMDD)."""
    stated_objects: int | None
    """Objects that the head says there are (DSSI), None where it says nothing."""
    objects: int
    """Object records that are there; in an update all that it names."""
    inserted: int = 0
    deleted: int = 0
    """What an update adds and takes away."""
    damage: str = ""
    """What is broken in the file, "" where nothing is."""
    leftover: Mapping[str, Value] = field(default_factory=dict)
    """The other fields of DSID, DSSI and DSPM by their S-57 names."""


def looks_like_iso8211(head: bytes) -> bool:
    """Whether a file that starts with these bytes (24 or more) is ISO 8211."""
    return (
        len(head) >= LEADER
        and head[:5].isdigit()
        and head[5:6] in (b" ", b"1", b"2", b"3")
        and head[6:7] == b"L"
        and head[12:17].isdigit()
    )


def read_head(data: bytes) -> CellHead:
    """Head and tally of a whole file. Raises Damaged where not even its first record is whole."""
    records = records_of(data)
    try:
        at, size = next(records)
    except StopIteration:
        raise Damaged("it holds no record") from None
    forms = forms_of(data[at : at + size])
    found: dict[str, Value] = {}
    tally: dict[str | int, int] = {"objects": 0, INSERT: 0, DELETE: 0}
    damage = ""
    s57 = "DSID" in forms and "EXPP" in forms["DSID"][0] and "VRID" in forms
    try:
        for at, size in records if s57 else ():
            _tally(data, at, size, forms, found, tally)
    except Damaged as error:
        damage = str(error)
    stated = [found.get(name) for name in ("NOMR", "NOCR", "NOGR", "NOLR")]
    whole = [count for count in stated if isinstance(count, int)]
    return CellHead(
        s57=s57,
        product="S-57" if s57 else _product(data[:200_000], forms),
        purpose=code_of(found.pop("EXPP", None), {"N": 1, "R": 2}),
        name=str(found.pop("DSNM", "")).strip(),
        edition=str(found.pop("EDTN", "")).strip(),
        update=_number(found.pop("UPDN", None)),
        issued=str(found.pop("ISDT", "")).strip(),
        stated_objects=sum(whole) if len(whole) == len(stated) else None,
        objects=tally["objects"],
        inserted=tally[INSERT],
        deleted=tally[DELETE],
        damage=damage,
        leftover=found,
    )


def leader_at(data: bytes, at: int, number: int) -> bytes | None:
    """The leader of a record, counted from 1; None where only padding follows the last one.

    Raises Damaged where there is neither.
    """
    leader = data[at : at + LEADER]
    if number > 1 and not leader.strip(_PADDING) and not data[at:].strip(_PADDING):
        return None
    if len(leader) < LEADER or not leader[:5].isdigit() or not leader[12:17].isdigit():
        raise Damaged(f"record {number} at byte {at} is no ISO 8211 record")
    return leader


def records_of(data: bytes) -> Iterator[tuple[int, int]]:
    """(start, size) of every record. Raises Damaged where one is cut off or senseless."""
    at, number, end = 0, 0, len(data)
    while at < end:
        number += 1
        leader = leader_at(data, at, number)
        if leader is None:
            return
        size = int(leader[:5]) or _long_size(data, at)
        if size < LEADER or at + size > end:
            raise Damaged(f"record {number} at byte {at} is cut off: the file ends inside it")
        yield at, size
        at += size


def _long_size(data: bytes, at: int) -> int:
    """Size of a record of 100,000 bytes and more, whose leader says 0."""
    base = int(data[at + 12 : at + 17])
    reach = max((start + size for _, start, size in directory_of(data, at)), default=0)
    return base + reach


def directory_of(data: bytes, at: int) -> Iterator[tuple[bytes, int, int]]:
    """(tag, start within the field area, size) of a record's fields."""
    wide, far, tag = data[at + 20] - 48, data[at + 21] - 48, data[at + 23] - 48
    if not (1 <= wide <= 9 and 1 <= far <= 9 and 1 <= tag <= 7):
        raise Damaged(f"the record at byte {at} has a senseless directory")
    place, step = at + LEADER, wide + far + tag
    while place < len(data) and data[place] != FIELD_END:
        entry = data[place : place + step]
        size, start = entry[tag : tag + wide], entry[tag + wide :]
        if len(entry) < step or not (size.isdigit() and start.isdigit()):
            raise Damaged(f"the record at byte {at} has a broken directory")
        yield entry[:tag], int(start), int(size)
        place += step


def fields_of(data: bytes, at: int) -> list[tuple[str, bytes]]:
    """(tag, content) of a record's fields."""
    base = at + int(data[at + 12 : at + 17])
    return [
        (tag.decode("latin-1"), data[base + start : base + start + size])
        for tag, start, size in directory_of(data, at)
    ]


def _field(data: bytes, at: int, wanted: bytes) -> bytes:
    base = at + int(data[at + 12 : at + 17])
    for tag, start, size in directory_of(data, at):
        if tag == wanted:
            return data[base + start : base + start + size]
    return b""


Form = tuple[tuple[str, ...], tuple[tuple[str, int], ...]]


def forms_of(record: bytes) -> dict[str, Form]:
    """Names and formats of every field's subfields, from the first record of a file."""
    base = int(record[12:17])
    forms: dict[str, Form] = {}
    for tag, start, size in directory_of(record, 0):
        parts = record[base + start : base + start + size].rstrip(bytes([FIELD_END])).split(b"\x1f")
        if len(parts) < 3:
            continue
        names = parts[1].decode("latin-1").lstrip("*").replace("\\\\", "!*").split("!")
        kinds: list[tuple[str, int]] = []
        for repeat, text, width, bits, kind, wide in _FORMAT.findall(parts[2].decode("latin-1")):
            one = (text, int(width or 0)) if text else ("B", int(bits or 0) // 8)
            if kind:
                one = (f"b{kind}", int(wide))
            kinds.extend([one] * min(int(repeat or 1), 64))
        forms[tag.decode("latin-1")] = (tuple(names), tuple(kinds))
    return forms


def values_of(data: bytes, form: Form) -> dict[str, Value]:
    """The first value of each subfield, as far as they can be read."""
    found: dict[str, Value] = {}
    at = 0
    for name, (kind, width) in zip(*form, strict=False):
        if kind in ("b1", "b2", "B"):
            raw = data[at : at + width]
            if len(raw) < width:
                break
            found[name] = int.from_bytes(raw, "little", signed=kind == "b2")
            at += width
            continue
        end = at + width
        if not width:
            stops = [i for i in (data.find(b"\x1f", at), data.find(b"\x1e", at)) if i >= 0]
            if not stops:
                break
            end = min(stops)
        found[name] = data[at:end].decode("latin-1")
        at = end if width else end + 1
    return found


def _tally(
    data: bytes,
    at: int,
    size: int,
    forms: Mapping[str, Form],
    found: dict[str, Value],
    tally: dict[str | int, int],
) -> None:
    directory = data[at + LEADER : at + min(size, LEADER + 400)]
    if b"FRID" in directory:
        tally["objects"] += 1
        if found.get("EXPP") not in (1, "N") and "FRID" in forms:
            action = code_of(
                values_of(_field(data, at, b"FRID"), forms["FRID"]).get("RUIN"), ACTIONS
            )
            if action in (INSERT, DELETE):
                tally[action] += 1
    elif b"DS" in directory:
        for tag in ("DSID", "DSSI", "DSPM"):
            if tag in forms and (raw := _field(data, at, tag.encode())):
                for name, value in values_of(raw, forms[tag]).items():
                    found.setdefault(name, value)


ACTIONS = {"I": INSERT, "D": DELETE, "M": MODIFY}


def code_of(value: Value | None, letters: Mapping[str, int]) -> int | None:
    """A code that the binary form gives as a number and the text form as a letter."""
    if isinstance(value, int) or value is None:
        return value
    return letters.get(value.strip()[:1].upper())


def _number(value: Value | None) -> int | None:
    text = str(value if value is not None else "").strip()
    return int(text) if text.isdigit() and len(text) <= 9 else None


def _product(head: bytes, forms: Mapping[str, Form]) -> str:
    named = re.search(rb"S-1(?!00)\d\d", head)
    if named:
        return named.group(0).decode()
    return "an exchange catalogue" if "CATD" in forms else "an ISO 8211 file of another kind"
