"""A jumble of chart files and folders becomes one set of charts; nothing is passed over in silence.

A file named by the user that cannot be used is an error. One met in a folder is listed with the
reason, and the run goes on.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from routecheck.model.chart import Chart, ChartSet, Grid, Unread
from routecheck.model.errors import BadInput
from routecheck.model.objects import BuoyageZone
from routecheck.model.source import Source, SourceKind
from routecheck.readers import ogr
from routecheck.readers.beside import reading_of, sidecar_digest, sidecar_path
from routecheck.readers.folder_index import Entry, Floats, FolderIndex, Print, entry_of
from routecheck.readers.hidden import unread_hidden
from routecheck.readers.marks import read_marks
from routecheck.readers.s57 import CellJob
from routecheck.readers.s57_files import update_number, updates_beside
from routecheck.readers.s101 import S101Job
from routecheck.readers.seamark_rows import NOTHING_TAGGED
from routecheck.readers.seamarks import SeamarkJob
from routecheck.readers.sniff import Kind, sniff
from routecheck.readers.strict import cleaned
from routecheck.readers.vector import NOTHING_PLACED, VectorJob, digest_of

Progress = Callable[[int, int, str], None]


class KeptJob:
    """A chart that lies far from the route, as the folder's index has it: nothing to be read."""

    def __init__(self, path: Path, entry: Entry, *, source_id: str) -> None:
        self.path, self.source_id, self.entry = path, source_id, entry

    def request(self) -> ogr.Request:
        """Nothing."""
        return ogr.Request()

    def finish(self, _answer: ogr.Answer) -> Chart:
        """The chart without its objects."""
        stub = self.entry.stub
        source = replace(stub.source, id=self.source_id, file=str(self.path))
        problems = tuple(replace(one, source=self.source_id) for one in stub.problems)
        return replace(stub, source=source, problems=problems)


Job = CellJob | S101Job | VectorJob | SeamarkJob | KeptJob


@dataclass(kw_only=True)
class _Plan:
    """What is to be read, in order, and what is not."""

    jobs: list[Job] = field(default_factory=list)
    grids: list[Path] = field(default_factory=list)
    marks: list[Path] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    named: set[Path] = field(default_factory=set)
    """Files that the user named himself."""
    ids: dict[str, int] = field(default_factory=dict)
    near: Floats | None = None
    """Boxes about the route; None: everything is wanted."""
    indexes: dict[Path, FolderIndex] = field(default_factory=dict)
    """The index of the folder in which each file was found."""
    prints: dict[Path, Print] = field(default_factory=dict)
    """Of files that go into an index once they are read."""

    def refuse(self, path: Path, error: BadInput, *, looks_like_chart: bool = True) -> None:
        """Raise for a named file, list one that was met in a folder."""
        if path in self.named:
            raise error
        why = error.wrong + (f"; {error.do}" if error.do else "")
        where = f"{error.where}: " if error.where else ""
        # The error may name another file, such as an update or a sidecar.
        other = "" if error.file == str(path) else f"{Path(error.file).name}: "
        self.unread.append(
            Unread(
                file=str(path),
                why=cleaned(f"{other}{where}{why}", longest=500),
                looks_like_chart=looks_like_chart,
            )
        )

    def id_of(self, path: Path) -> str:
        """The file's name, made unique."""
        name = cleaned(path.name) or "chart"
        count = self.ids[name] = self.ids.get(name, 0) + 1
        return name if count == 1 else f"{name}~{count}"


def read_charts(
    paths: Sequence[Path],
    *,
    zones: tuple[BuoyageZone, ...] = (),
    progress: Progress | None = None,
    near: Floats | None = None,
) -> ChartSet:
    """All charts in files and folders; folders are walked in sorted order.

    `near` (n, 4): boxes (west, south, east, north) in degrees outside of which nothing is wanted.
    A vector chart in a folder that cannot concern them comes without its objects; where the
    folder's index knows that beforehand, it is not even opened.
    `progress` is called with (files done, files in all, what is being read). Raises BadInput for
    a named file that cannot be used, and where nothing at all can be read.
    """
    tell = progress or _no_progress
    plan = _plan(paths, near)
    if any(not isinstance(job, KeptJob) for job in plan.jobs):
        ogr.warm_up()
    if plan.grids:
        from routecheck.readers.gridprocess import GRIDS

        GRIDS.warm_up()
    total = len(plan.jobs) + len(plan.grids) + len(plan.marks)
    with _no_collection():
        charts = _newest(list(_charts(plan, total, tell)), plan)
        for index in set(plan.indexes.values()):
            index.save()
        done = len(plan.jobs)
        for path in plan.marks:
            tell(done, total, path.name)
            charts += _marks(path, plan)
            done += 1
        grids = list(_all_grids(plan, lambda path, at: tell(done + at, total, path.name)))
        done = total
    tell(done, total, "")
    if not charts and not grids:
        first = next((one for one in plan.unread if one.looks_like_chart), None)
        raise BadInput(
            file=", ".join(str(path) for path in paths) or "charts",
            wrong="nothing in it can be read as a chart",
            do=f"{first.file}: {first.why}" if first else "",
        )
    return ChartSet(
        charts=tuple(charts),
        grids=tuple(grids),
        unread=tuple(sorted(plan.unread, key=lambda one: one.file)),
        zones=zones,
    )


def _no_progress(_done: int, _total: int, _what: str) -> None:
    return


def _plan(paths: Sequence[Path], near: Floats | None) -> _Plan:
    plan = _Plan(near=near)
    found: list[Path] = []
    seen: set[str] = set()
    for path in paths:
        if path.is_dir():
            index = FolderIndex(path)
            for one in _walk(path, seen, plan):
                plan.indexes[one] = index
                found.append(one)
        elif path.exists():
            plan.named.add(path)
            found += [path]
        else:
            raise BadInput(file=str(path), wrong="there is no such file or folder")
    once: dict[tuple[str, str], Path] = {}
    for path in found:
        once.setdefault(reading_of(path), path)
    kept = list(once.values())
    sidecars = {sidecar_path(path) for path in kept}
    updates = {update for path in kept if path.suffix == ".000" for update in _updates(path)}
    for path in kept:
        if path in updates or (path in sidecars and path not in plan.named):
            continue
        try:
            _sort_out(path, plan)
        except BadInput as error:
            plan.refuse(path, error)
    return plan


def _updates(path: Path) -> list[Path]:
    try:
        return updates_beside(path)
    except OSError:
        return []


def _sort_out(path: Path, plan: _Plan) -> None:
    if not path.is_file():
        raise BadInput(file=str(path), wrong="this is not a plain file")
    index = None if path in plan.named else plan.indexes.get(path)
    entry = index.fresh(path) if index is not None else None
    if entry is not None and plan.near is not None and entry.away(plan.near):
        plan.jobs.append(KeptJob(path, entry, source_id=plan.id_of(path)))
        return
    sniffed = sniff(path)
    if index is not None and entry is None and not sniffed.holds_grid:
        plan.prints[path] = index.print_of(path)
    if sniffed.kind is Kind.CELL:
        plan.jobs.append(CellJob(path, source_id=plan.id_of(path)))
    elif sniffed.kind is Kind.S101:
        plan.jobs.append(S101Job(path, source_id=plan.id_of(path)))
    elif sniffed.kind is Kind.VECTOR:
        plan.jobs.append(VectorJob(path, source_id=plan.id_of(path)))
        if sniffed.holds_grid:
            plan.grids.append(path)
    elif sniffed.kind in (Kind.OSM, Kind.OVERPASS):
        overpass = sniffed.kind is Kind.OVERPASS
        plan.jobs.append(SeamarkJob(path, source_id=plan.id_of(path), overpass=overpass))
    elif sniffed.kind is Kind.GRID:
        plan.grids.append(path)
    elif sniffed.kind is Kind.MARKS:
        plan.marks.append(path)
    elif sniffed.kind is Kind.UPDATE:
        wrong = f"this is update {update_number(path)} of a cell whose base is not beside it"
        do = f"put {path.stem}.000 into the same folder"
        raise BadInput(file=str(path), wrong=wrong, do=do)
    elif sniffed.kind is Kind.NONE or path in plan.named:
        why = sniffed.why or "this is read together with another file"
        error = BadInput(file=str(path), wrong=why)
        plan.refuse(path, error, looks_like_chart=sniffed.looks_like_chart)


def _walk(folder: Path, seen: set[str], plan: _Plan) -> Iterator[Path]:
    """Files below a folder in sorted order; a folder that links lead to again is walked once."""
    waiting = [folder]
    while waiting:
        path = waiting.pop()
        try:
            if not path.is_dir():
                yield path
                continue
            if path is not folder and path.name.startswith("."):
                plan.unread.append(unread_hidden(path))
                continue
            real = os.path.realpath(path)
            if real not in seen:
                seen.add(real)
                waiting += sorted(path.iterdir(), reverse=True)
        except OSError as error:
            why = f"it cannot be read ({error.strerror})"
            plan.unread.append(Unread(file=str(path), why=why))


def _charts(plan: _Plan, total: int, tell: Progress) -> Iterator[Chart]:
    """Charts of all jobs; the child reads one while the one before is being built."""
    errors: list[BadInput | None] = []

    def requests() -> Iterator[ogr.Request]:
        for job in plan.jobs:
            try:
                request = job.request()
                errors.append(None)
            except BadInput as error:
                request = ogr.Request()
                errors.append(error)
            yield request

    for number, (job, answer) in enumerate(zip(plan.jobs, ogr.read_all(requests()), strict=True)):
        tell(number, total, job.path.name)
        try:
            error = errors[number]
            if error is not None:
                raise error
            yield _indexed(job, job.finish(answer), plan)
        except BadInput as refused:
            # A GeoPackage may hold a grid and nothing else.
            if not (refused.wrong == NOTHING_PLACED and job.path in plan.grids):
                looks = refused.wrong != NOTHING_TAGGED
                plan.refuse(job.path, refused, looks_like_chart=looks)


def _indexed(job: Job, chart: Chart, plan: _Plan) -> Chart:
    """Put a chart into its folder's index; what comes back has no objects where it lies far off.

    So a folder of any size is read without being held.
    """
    index = plan.indexes.get(job.path)
    if isinstance(job, KeptJob) or index is None or job.path in plan.named:
        return chart
    before, entry = plan.prints.get(job.path), None
    if before is not None:
        entry = entry_of(chart)
        index.put(job.path, before, entry)
    if plan.near is None:
        return chart
    entry = entry or entry_of(chart)
    return entry.stub if entry.away(plan.near) else chart


def _newest(charts: list[Chart], plan: _Plan) -> list[Chart]:
    """Without copies, and without cells of which a later edition or update is there too. The same
    bytes beside another sidecar are no copy: units and datum are the sidecar's."""
    kept: dict[tuple[str, str], Chart] = {}
    for chart in charts:
        source = chart.source
        cell = source.kind is SourceKind.CHART_CELL and source.edition.isdigit()
        file = Path(source.file)
        name = (file.stem.upper(), "") if cell else (source.sha256, sidecar_digest(file))
        other = kept.get(name)
        if other is None:
            kept[name] = chart
            continue
        better, worse = (chart, other) if _age(source) > _age(other.source) else (other, chart)
        kept[name] = better
        if cell and better.source.sha256 != worse.source.sha256:
            edition = f"edition {better.source.edition}, update {better.source.updates}"
            why = f"superseded by {better.source.file} ({edition})"
        else:
            why = f"the same as {better.source.file}"
        plan.unread.append(Unread(file=worse.source.file, why=why, looks_like_chart=False))
    return list(kept.values())


def _age(source: Source) -> tuple[int, int]:
    return (int(source.edition) if source.edition.isdigit() else 0), source.updates


def _marks(path: Path, plan: _Plan) -> list[Chart]:
    name = plan.id_of(path)
    try:
        marks = read_marks(path, source=name)
    except BadInput as error:
        plan.refuse(path, error)
        return []
    source = Source(
        id=name,
        file=str(path),
        sha256=digest_of(path),
        kind=SourceKind.VECTOR,
        format="CSV",
        datum="unknown",
    )
    return [Chart(source=source, marks=marks, counts={"mark": len(marks)})]


def _all_grids(plan: _Plan, tell: Callable[[Path, int], None]) -> Iterator[Grid]:
    """The grids of all files; tiles that a virtual raster shows whole are not read twice."""
    from routecheck.readers.vrt import files_shown, mosaics_first

    shown: set[tuple[str, str]] = set()
    for at, path in enumerate(mosaics_first(plan.grids)):
        tell(path, at)
        if path not in plan.named and reading_of(path) in shown:
            continue
        grids = _grids(path, plan)
        if grids:
            shown |= {reading_of(tile) for tile in files_shown(path)}
        yield from grids


def _grids(path: Path, plan: _Plan) -> list[Grid]:
    from routecheck.readers.grids import ONLY_TYPES, open_grid

    try:
        grids = list(open_grid(path))
    except BadInput as error:
        plan.refuse(path, error, looks_like_chart=error.wrong != ONLY_TYPES)
        return []
    for grid in grids:
        name = plan.id_of(Path(grid.source.id))
        if name != grid.source.id:
            grid.source = replace(grid.source, id=name)
    return grids


@contextmanager
def _no_collection() -> Iterator[None]:
    """Ten thousand objects that all stay need no search for ones that do not."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
