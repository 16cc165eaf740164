"""The documents do as they say: doctests, the README's commands, links that lead somewhere."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
import re
import shlex
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner

import routecheck
from routecheck.cli import main

ROOT = Path(__file__).resolve().parent.parent
PAGES = sorted(
    [*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md"), ROOT / "sample_charts/README.md"]
)
README = (ROOT / "README.md").read_text(encoding="utf-8")
MODULES = [
    module.name
    for module in pkgutil.walk_packages(routecheck.__path__, "routecheck.")
    if not module.name.endswith("__main__")
]


def test_doctests_of_all_modules() -> None:
    tried = failed = 0
    for name in MODULES:
        result = doctest.testmod(importlib.import_module(name))
        tried, failed = tried + result.attempted, failed + result.failed
    assert failed == 0
    assert tried > 10


@pytest.mark.parametrize(
    "command", re.findall(r"^\$ routecheck (.*)$", README, re.MULTILINE), ids=str
)
def test_commands_of_the_readme(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    arguments = shlex.split(command)
    if arguments[0] in ("vet", "window"):
        arguments += ["--out", str(tmp_path)]
    run = CliRunner().invoke(main, arguments)
    assert run.exit_code == 0, run.output
    assert run.output.strip()


def test_output_in_the_readme_is_what_is_printed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of the worked example every part between two cuts stands in the output, word for word."""
    monkeypatch.chdir(ROOT)
    (block,) = re.findall(r"^\$ routecheck (window .*)\n((?:(?!```).*\n)+)", README, re.MULTILINE)
    run = CliRunner().invoke(main, [*shlex.split(block[0]), "--out", str(tmp_path)])
    assert run.exit_code == 0, run.output
    parts = [part for part in block[1].split("[...]\n") if part.strip()]
    assert len(parts) == 2
    for part in parts:
        assert part in run.output


def test_readme_boat_is_a_boat(tmp_path: Path) -> None:
    """The README's boat.toml is read, and its margins are the ones that hold by default."""
    (block,) = [b for b in re.findall(r"```toml\n(.*?)```", README, re.DOTALL) if "draught" in b]
    file = tmp_path / "boat.toml"
    file.write_text(block, encoding="utf-8")
    boat = routecheck.read_boat(file)
    assert boat.margins == routecheck.Margins()
    assert boat.draught_m == 1.9


def test_toml_of_the_documents_is_toml() -> None:
    blocks = [b for page in PAGES for b in re.findall(r"```toml\n(.*?)```", page.read_text(), re.S)]
    assert len(blocks) >= 3
    for block in blocks:
        tomllib.loads(block)


def test_links_of_the_documents_lead_somewhere() -> None:
    lost = []
    for page in PAGES:
        for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            if not target.startswith(("http:", "https:")) and not (page.parent / target).exists():
                lost.append(f"{page.name}: {target}")
    assert lost == []


def test_make_targets_of_the_documents_exist() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"^([a-z]+):", makefile, re.MULTILINE))
    named = {t for page in PAGES for t in re.findall(r"\bmake ([a-z]+)\b", page.read_text())}
    code = {t for t in named if f"make {t}" in README or t in targets}
    assert {"demo", "test", "lint", "bench"} <= code & targets
