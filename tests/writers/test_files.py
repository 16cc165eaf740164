"""Outputs on the disk: slugs, and whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.writers.files import slug, slugs, write_outputs

# Names of devices: "Naming Files, Paths, and Namespaces", Windows documentation.
RESERVED = ["CON", "prn", "Aux", "NUL", "COM1", "com9", "LPT1", "lpt²"]


@given(st.text(max_size=200))
def test_a_slug_is_a_plain_file_name(name: str) -> None:
    made = slug(name)
    assert 1 <= len(made) <= 60
    assert Path(made).name == made
    assert made not in (".", "..")
    assert all(c.isalnum() or c in "-_" for c in made)
    assert made.lower() not in {r.lower() for r in RESERVED}
    made.encode("utf-8")


@pytest.mark.parametrize("name", RESERVED)
def test_names_of_devices_are_changed(name: str) -> None:
    assert slug(name).startswith("route-")


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("A_choptank_safe", "A_choptank_safe"),
        ("../../etc/passwd", "etc-passwd"),
        ("C:\\boat\\route", "C-boat-route"),
        ("", "route"),
        ("...", "route"),
        ("___", "route"),
        ("Île-d'Or 東", "Île-d-Or-東"),
        ("x" * 99, "x" * 60),
        ("<script>", "script"),
    ],
)
def test_slugs_by_example(name: str, expected: str) -> None:
    assert slug(name) == expected


def test_clashes_are_numbered_whatever_their_case() -> None:
    assert slugs(["Home", "home", "HOME!", "home-2"]) == ("Home", "home-2", "HOME-3", "home-2-2")
    long = slugs(["y" * 80, "y" * 90])
    assert len(set(long)) == 2
    assert all(len(one) <= 60 for one in long)


@given(st.lists(st.text(max_size=5), max_size=12))
def test_slugs_never_clash(names: list[str]) -> None:
    assert len({one.casefold() for one in slugs(names)}) == len(names)


def tree(folder: Path) -> dict[str, str]:
    return {
        str(p.relative_to(folder)): p.read_text("utf-8") for p in folder.rglob("*") if p.is_file()
    }


def test_writes_and_replaces(tmp_path: Path) -> None:
    out = tmp_path / "deep" / "outputs"
    written = write_outputs(out, {"one": {"map.html": "a", "brief.html": "b"}})
    assert written == (out / "one",)
    write_outputs(out, {"one": {"map.html": "c"}, "two": {"map.html": "d\r\n"}})
    # What an earlier run left and this one does not make would be read as this one's: it goes.
    assert tree(out) == {"one/map.html": "c", "two/map.html": "d\n"}
    assert (out / "two" / "map.html").read_bytes() == b"d\r\n"


def test_files_of_the_user_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "one" / "my notes.txt").write_text("mine")
    write_outputs(tmp_path, {"one": {"map.html": "a"}})
    assert tree(tmp_path) == {"one/my notes.txt": "mine", "one/map.html": "a"}


@pytest.mark.parametrize("failing", range(1, 6))
def test_a_failure_at_any_move_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: int
) -> None:
    write_outputs(tmp_path, {"one": {"map.html": "old", "findings.csv": "old"}})
    before = tree(tmp_path)
    real, calls = Path.replace, [0]

    def replace(self: Path, target: Path) -> Path:
        calls[0] += 1
        if calls[0] == failing:
            raise OSError("no space left on device")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", replace)
    with pytest.raises(OSError, match="no space"):
        write_outputs(
            tmp_path,
            {"one": {"map.html": "new", "brief.html": "new"}, "two": {"map.html": "new"}},
        )
    assert tree(tmp_path) == before
    assert [path.name for path in tmp_path.iterdir()] == ["one"]


def test_the_moves_of_that_test_are_all_there_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_outputs(tmp_path, {"one": {"map.html": "old", "findings.csv": "old"}})
    real, calls = Path.replace, [0]

    def replace(self: Path, target: Path) -> Path:
        calls[0] += 1
        return real(self, target)

    monkeypatch.setattr(Path, "replace", replace)
    write_outputs(
        tmp_path, {"one": {"map.html": "new", "brief.html": "new"}, "two": {"map.html": "new"}}
    )
    assert calls[0] == 5


def test_a_failure_while_writing_leaves_no_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(handle: int) -> None:
        raise OSError("input/output error")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="input/output"):
        write_outputs(tmp_path / "outputs", {"one": {"map.html": "a"}})
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["", "..", "a/b", "../x", "a\\b", "/abs"])
def test_paths_for_names_are_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError):
        write_outputs(tmp_path / "outputs", {name: {"map.html": "a"}})
    with pytest.raises(ValueError):
        write_outputs(tmp_path / "outputs", {"one": {name: "a"}})
    assert list(tmp_path.iterdir()) == []


def test_a_file_where_the_folder_should_be_is_left(tmp_path: Path) -> None:
    (tmp_path / "one").write_text("a file")
    with pytest.raises(OSError):
        write_outputs(tmp_path, {"two": {"map.html": "a"}, "one": {"map.html": "a"}})
    assert tree(tmp_path) == {"one": "a file"}
