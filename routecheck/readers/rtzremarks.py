"""What an RTZ file says that the vetting does not use: told in remarks, leg by leg."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from routecheck.readers.strict import cleaned
from routecheck.readers.waypoints import Point
from routecheck.readers.xmlsafe import Element

_UNUSED = {
    "safetyContour": "m",
    "safetyDepth": "m",
    "draughtForward": "m",
    "draughtAft": "m",
    "staticUKC": "m",
    "dynamicUKC": "m",
    "masthead": "m",
    "speedMin": "kn",
}
_NOTES = ("legReport", "legInfo", "legNote1", "legNote2")
_MOST_VALUES = 5


def remarks_on_legs(
    stated: Sequence[Mapping[str, str]], points: Sequence[Point], scheduled: Sequence[bool]
) -> list[str]:
    """Remarks on leg data; `stated` holds the attributes of the leg arriving at each point."""
    remarks = []
    legs = range(1, len(points))
    by_limit = [n for n in legs if points[n].speed_kn is not None and not scheduled[n]]
    if by_limit:
        remarks.append(
            f"no schedule gives a speed for {named(by_limit)}: "
            "the highest speed that the file allows there (speedMax) is taken"
        )
    limits = {
        "portsideXTD": [point.xtd_port_m for point in points],
        "starboardXTD": [point.xtd_starboard_m for point in points],
    }
    for attribute, limits_m in limits.items():
        blank = [n for n in legs if attribute in stated[n] and limits_m[n] is None]
        if blank:
            remarks.append(f"{attribute} 0 ({named(blank)}) is taken as not stated")
    for attribute, unit in _UNUSED.items():
        by_value: dict[str, list[int]] = {}
        for number in legs:
            if attribute in stated[number]:
                text = cleaned(stated[number][attribute], longest=20)
                by_value.setdefault(text, []).append(number)
        said = [f"{value} {unit} ({named(which)})" for value, which in by_value.items()]
        if said:
            more = f" and {len(said) - _MOST_VALUES} more" if len(said) > _MOST_VALUES else ""
            values = ", ".join(said[:_MOST_VALUES]) + more
            remarks.append(f"{attribute} {values}: not used, the boat's own counts")
    noted = [n for n in legs if any(key in stated[n] for key in _NOTES)]
    if noted:
        remarks.append(f"the file's notes on {named(noted)} were not read: look at them there")
    return remarks


def remarks_on_file(root: Element) -> list[str]:
    """Remarks on what stands outside the legs."""
    remarks = []
    info = root.first("routeInfo")
    stated = info.attributes if info is not None else {}
    ends = [
        cleaned(stated.get(f"validityPeriod{end}", ""), longest=40) for end in ("Start", "Stop")
    ]
    if any(ends):
        period = f"from {ends[0] or '?'} to {ends[1] or '?'}"
        remarks.append(f"the file calls the route valid {period}: not checked")
    vessel = sorted(cleaned(key, longest=40) for key in stated if key.startswith("vessel"))
    if vessel:
        remarks.append(f"of the vessel the file states {', '.join(vessel[:20])}: not used")
    group = root.first("waypoints")
    start = group.first("waypoint") if group is not None else None
    leg = start.first("leg") if start is not None else None
    if leg is not None and leg.attributes:
        remarks.append("leg data at the first waypoint was left aside: no leg arrives there")
    return remarks


def named(numbers: Sequence[int]) -> str:
    """Leg numbers in order, in words.

    >>> named([1, 2, 3, 6]), named([2])
    ('legs 1-3, 6', 'leg 2')
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    texts = [str(a) if a == b else f"{a}-{b}" for a, b in runs]
    if len(texts) > 10:
        texts = [*texts[:10], "…"]
    return ("leg " if len(numbers) == 1 else "legs ") + ", ".join(texts)
