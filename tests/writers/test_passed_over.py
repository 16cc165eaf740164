"""Files that were taken for no charts are named where the verdict is read."""

from __future__ import annotations

from dataclasses import replace

from routecheck.model.chart import Unread
from routecheck.writers.brief import to_brief
from routecheck.writers.terminal import to_terminal
from tests.writers import reports


def left(*names: str) -> tuple[Unread, ...]:
    return tuple(Unread(file=name, why="a text", looks_like_chart=False) for name in names)


def terminal(*names: str) -> str:
    report = replace(reports.empty(), unread=left(*names))
    return " ".join(to_terminal(report).split())


def test_the_terminal_names_them_on_one_line() -> None:
    assert "1 file in charts was not read as a chart: a.txt" in terminal("charts/a.txt")
    two = terminal("charts/b.md", "charts/a.txt")
    assert "2 files in charts were not read as charts: a.txt, b.md A planning" in two
    many = terminal(*(f"charts/{number}.txt" for number in range(6)))
    assert "6 files in charts were not read as charts: 0.txt, 1.txt, 2.txt, 3.txt, …" in many
    assert "2 files were not read as charts: a.txt, b.txt" in terminal("c/a.txt", "d/b.txt")


def test_the_terminal_is_silent_without_any() -> None:
    assert "not read as" not in terminal()


def test_a_hostile_name_cannot_steer_the_screen() -> None:
    text = to_terminal(replace(reports.empty(), unread=left("c/\x1b[2J\n" + "x" * 500)))
    assert "\x1b" not in text
    assert max(map(len, text.splitlines())) <= 80


def test_the_brief_lists_them_and_does_not_deny_them() -> None:
    page = to_brief(replace(reports.empty(), unread=left("charts/a.txt")))
    assert "<b>charts/a.txt</b>: a text" in page
    assert "passed over; nothing that one of them may show was judged" in page
    assert "No file among the charts was passed over" not in page
    many = to_brief(replace(reports.empty(), unread=left(*(f"c/{n}.txt" for n in range(52)))))
    assert "and 2 more" in many


def test_the_brief_says_so_where_none_was() -> None:
    page = to_brief(replace(reports.empty(), unread=()))
    assert "No file among the charts was passed over." in page
