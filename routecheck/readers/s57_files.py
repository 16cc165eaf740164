"""The files of an S-57 cell: the base and its updates, found, checked and put in order.

Order and editions: IHO S-57 edition 3.1, appendix B.1 (ENC product specification), clause 5.7.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, replace
from pathlib import Path

from routecheck.model.chart import Problem, Severity
from routecheck.model.errors import BadInput
from routecheck.readers.iso8211 import CellHead, Damaged, looks_like_iso8211, read_head
from routecheck.readers.s57_changes import Doubted, changes_of
from routecheck.readers.s57_parts import Parts
from routecheck.readers.s57_records import changed_records
from routecheck.readers.strict import cleaned, read_bytes

MOST_BYTES = 256 * 2**20
_NEW, _UPDATE = 1, 2
_UPDATE_SUFFIX = re.compile(r"\.(\d{3})")
_CANCELLED = "0"


@dataclass(frozen=True, kw_only=True)
class CellFiles:
    """A base cell and the updates to apply, in order, as bytes."""

    base: bytes
    updates: tuple[bytes, ...]
    sha256: str
    """Of the base and every applied update, one after the other."""
    objects: int
    """How many there must be once the updates are applied."""
    last_update: int
    remarks: tuple[Problem, ...] = ()
    doubts: tuple[Doubted, ...] = ()
    """Of positions, as the updates state them."""

    def without_bytes(self) -> CellFiles:
        """The same without the files' content."""
        return replace(self, base=b"", updates=())


def update_number(path: Path) -> int | None:
    """1 for ``X.001``; None for a base cell or any other file."""
    found = _UPDATE_SUFFIX.fullmatch(path.suffix)
    return int(found.group(1)) or None if found else None


def updates_beside(base: Path) -> list[Path]:
    """The update files of a base cell: in its folder, or in the folders ``1``, ``2`` … beside
    its own as exchange sets have them."""
    stem = base.stem.lower()
    places = [base.parent]
    if base.parent.name == "0":
        places += [p for p in base.parent.parent.iterdir() if p.name.isdigit() and p.is_dir()]
    found: dict[int, Path] = {}
    for place in places:
        for path in sorted(place.iterdir()):
            number = update_number(path)
            if number and path.stem.lower() == stem and path.is_file():
                found.setdefault(number, path)
    return [found[number] for number in sorted(found)]


def load(path: Path) -> CellFiles:
    """Base and updates, checked from outside. Raises BadInput naming the file that is wrong."""
    data, head = _checked(path)
    if head.purpose == _UPDATE:
        raise BadInput(
            file=str(path),
            wrong=f"this is update {head.update} of a cell, not the cell itself",
            do="give the base cell (.000) with its updates beside it",
        )
    remarks = []
    if head.purpose != _NEW:
        wrong = f"the head says neither new cell nor update (EXPP {head.purpose})"
        remarks.append(_remark(path, wrong, Severity.CAUTION))
    if head.stated_objects is not None and head.stated_objects != head.objects:
        wrong = f"the cell says that it has {head.stated_objects} objects and has {head.objects}"
        remarks.append(_remark(path, wrong, Severity.NOT_ASSESSED))
    digest = hashlib.sha256(data)
    objects, last, updates = head.objects, head.update or 0, []
    doubts: list[Doubted] = []
    parts = Parts(data)
    names = {path.stem.lower(), _stem(head.name)}
    for update in updates_beside(path):
        changed, its = _checked(update)
        aside = _aside(update, its, head, last)
        if aside:
            remarks.append(_remark(path, aside, Severity.NOTE))
            continue
        records = changed_records(changed)
        changes = changes_of(records)
        doubts += changes.doubts
        flaws = [f"it {flaw}" for flaw in (*changes.flaws, *parts.flaws(records))]
        if its.name and _stem(its.name) not in names:
            flaws.append(f"it says that it is one of another cell ({cleaned(its.name)})")
        for flaw in flaws:
            text = f"update {last + 1} was not applied as a whole: {flaw}"
            remarks.append(_remark(path, text, Severity.NOT_ASSESSED))
        objects += its.inserted - its.deleted
        last += 1
        updates.append(changed)
        digest.update(changed)
    return CellFiles(
        base=data,
        updates=tuple(updates),
        sha256=digest.hexdigest(),
        objects=objects,
        last_update=last,
        remarks=tuple(remarks),
        doubts=tuple(doubts),
    )


def _stem(name: str) -> str:
    """Of the name that a data set gives itself, without its number."""
    return name.rpartition(".")[0].lower()


def _remark(path: Path, text: str, severity: Severity) -> Problem:
    return Problem(source=path.name, text=text, severity=severity)


def _checked(path: Path) -> tuple[bytes, CellHead]:
    data = read_bytes(path, most_bytes=MOST_BYTES)
    file = str(path)
    if not looks_like_iso8211(data[:24]):
        raise BadInput(file=file, wrong="this is not an S-57 file")
    try:
        head = read_head(data)
    except Damaged as error:
        raise BadInput(file=file, wrong=f"it is damaged: {error}", do="fetch it again") from None
    if not head.s57:
        raise BadInput(file=file, wrong=f"this is {head.product}, no S-57 cell")
    if head.damage:
        raise BadInput(file=file, wrong=f"it is damaged: {head.damage}", do="fetch it again")
    return data, head


def _aside(path: Path, update: CellHead, base: CellHead, last: int) -> str:
    """Why an update is left aside, "" where it is the next to apply. Raises BadInput where it
    ought to be applied and cannot be."""
    file, number = str(path), update_number(path)
    if update.purpose != _UPDATE:
        raise BadInput(file=file, wrong="it stands among the updates of a cell and is none")
    if update.update != number:
        raise BadInput(file=file, wrong=f"its name says update {number}, its head {update.update}")
    if update.edition == _CANCELLED:
        raise BadInput(file=file, wrong="the cell is cancelled by this update", do="take it away")
    if update.edition != base.edition:
        both = f"it is for edition {update.edition}, the cell is edition {base.edition}"
        older = update.edition.isdigit() and base.edition.isdigit()
        if older and int(update.edition) < int(base.edition):
            return f"update {number} was left aside: {both}"
        raise BadInput(file=file, wrong=both, do="get the base cell of that edition")
    if number is not None and number <= (base.update or 0):
        return f"update {number} was left aside: the cell holds it already"
    if number != last + 1:
        raise BadInput(
            file=file,
            wrong=f"update {last + 1} is missing, so this one cannot be applied",
            do=f"fetch update {last + 1}, or take the later ones away",
        )
    return ""
