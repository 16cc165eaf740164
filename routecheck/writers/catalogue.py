"""The catalogue of checks, made from the checks' own docstrings."""

from __future__ import annotations

from collections.abc import Iterable

from routecheck.model.finding import CAUTION
from routecheck.model.rule import GROUPS, SECTIONS, Check
from routecheck.writers.wording.names import wrapped

_HEADINGS = {
    "Rule": "Rule",
    "Why": "Why it matters",
    "Examples": "Examples",
    "Settings": "Settings it reads",
    "Limits": "What it cannot see",
    "Sources": "Sources",
}


def _in_order(checks: Iterable[Check]) -> list[Check]:
    return sorted(checks, key=lambda check: (GROUPS.index(check.group), check.name))


def _listed(names: Iterable[str]) -> str:
    return ", ".join(sorted(names)) or "none"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def to_catalogue(checks: Iterable[Check]) -> str:
    """All checks as one Markdown page: a table by group, then a section for each."""
    ordered = _in_order(checks)
    lines = [
        "# Checks",
        "",
        "Made from the checks themselves; a change here is lost. " + CAUTION,
        "",
        "| check | group | the fault | can give |",
        "|---|---|---|---|",
    ]
    for check in ordered:
        gives = _listed(str(severity) for severity in check.gives)
        lines.append(
            f"| [{check.name}](#{check.name}) | {check.group} | {_cell(check.summary)} | {gives} |"
        )
    for check in ordered:
        lines += ["", f"## {check.name}", "", check.summary, ""]
        lines.append(f"Needs: {_listed(str(layer) for layer in check.needs)}.")
        sections = check.sections()
        for name in SECTIONS:
            if name not in sections:
                continue
            text = sections[name].strip()
            block = ["```text", text, "```"] if name == "Examples" else [text]
            lines += ["", f"### {_HEADINGS[name]}", "", *block]
    return "\n".join(lines) + "\n"


def to_check_page(check: Check, *, width: int = 80) -> str:
    """One check as text for the terminal."""
    lines = [check.name, "=" * len(check.name), *wrapped(check.summary, width=width), ""]
    facts = {
        "group": check.group,
        "needs": _listed(str(layer) for layer in check.needs),
        "can give": _listed(str(severity) for severity in check.gives),
    }
    lines += [line for k, v in facts.items() for line in _item(k, v, width)]
    sections = check.sections()
    for name in SECTIONS:
        if name not in sections:
            continue
        lines += ["", _HEADINGS[name]]
        for paragraph in _paragraphs(sections[name], keep=name == "Examples"):
            lines += wrapped(paragraph, width=width, first="  ", rest="  ")
    lines += ["", *wrapped(CAUTION, width=width)]
    return "\n".join(lines) + "\n"


def to_check_list(checks: Iterable[Check], *, width: int = 80) -> str:
    """Every check on a line or two, by group, for the terminal."""
    lines: list[str] = []
    group = ""
    for check in _in_order(checks):
        if check.group != group:
            lines += ["", check.group] if lines else [check.group]
            group = check.group
        lines.append(f"  {check.name}")
        lines += wrapped(check.summary, width=width, first="      ", rest="      ")
    return "\n".join([*lines, "", *wrapped(CAUTION, width=width)]) + "\n"


def _item(name: str, text: str, width: int) -> list[str]:
    return wrapped(text, width=width, first=f"{name:<10}", rest=" " * 10)


def _paragraphs(text: str, *, keep: bool) -> list[str]:
    lines = [line.strip() for line in text.splitlines()]
    return lines if keep else [" ".join(lines)]
