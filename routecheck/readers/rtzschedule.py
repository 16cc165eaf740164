"""The speeds that the schedules of an RTZ file plan for its legs."""

from __future__ import annotations

from routecheck.model.errors import BadInput
from routecheck.readers.strict import cleaned, decimal
from routecheck.readers.xmlsafe import Element

_FASTEST_KN = 100.0


def planned_speeds_kn(
    root: Element, ids: list[str], file: str
) -> tuple[dict[str, float], list[str]]:
    """(speed by waypoint id, remarks): the speed on the leg that arrives at the waypoint.

    What a person planned (manual) counts before what was calculated. Where two schedules differ
    for a leg neither is taken, and a remark says so. Raises BadInput for a speed that is none,
    or for a waypoint that the route does not have.
    """
    group = root.first("schedules")
    schedules = group.all("schedule") if group is not None else []
    speeds_kn: dict[str, float] = {}
    differing: set[str] = set()
    for schedule in schedules:
        for waypoint, speed in _of_one(schedule, set(ids), file).items():
            if speeds_kn.setdefault(waypoint, speed) != speed:
                differing.add(waypoint)
    for waypoint in differing:
        del speeds_kn[waypoint]
    remarks = []
    if differing:
        remarks.append(
            f"the file's schedules plan different speeds for {len(differing)} legs: none was taken"
        )
    if schedules:
        remarks.append("times of the file's schedules are not used: a departure is given apart")
    return speeds_kn, remarks


def _of_one(schedule: Element, ids: set[str], file: str) -> dict[str, float]:
    speeds_kn: dict[str, float] = {}
    for part in ("calculated", "manual"):  # the later one counts
        for group in schedule.all(part):
            for element in group.children:
                raw = element.attributes.get("waypointId", "").strip()
                waypoint = (raw.lstrip("0") or "0") if raw else ""
                where = f"schedule, line {element.line}"
                if waypoint not in ids or not waypoint:
                    named = cleaned(raw, longest=40)
                    raise BadInput(
                        file=file, where=where, wrong=f"the route has no waypoint with id {named!r}"
                    )
                text = element.attributes.get("speed")
                if text is None:
                    continue
                try:
                    speed = decimal(text)
                except ValueError as error:
                    raise BadInput(file=file, where=where, wrong=f"speed: {error}") from None
                if not 0.0 <= speed < _FASTEST_KN:
                    raise BadInput(
                        file=file,
                        where=where,
                        wrong=f"speed {speed:g} is not from 0 to below {_FASTEST_KN:g} kn",
                    )
                if speed > 0.0:
                    speeds_kn[waypoint] = speed
    return speeds_kn
