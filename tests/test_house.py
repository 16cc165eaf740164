"""The house rules that a machine can hold: floors, sizes, names, words, freshness."""

from __future__ import annotations

import importlib
import json
import os
import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import pytest

import routecheck

ROOT = Path(__file__).resolve().parent.parent
LONGEST_FILE = 400
OWN = ("routecheck", "tests", "sample_charts")
BANNED_NAMES = {"utils.py", "helpers.py", "common.py", "misc.py"}


def python_files() -> list[Path]:
    return sorted(path for folder in OWN for path in (ROOT / folder).rglob("*.py"))


def committed() -> list[Path]:
    """Files that git keeps or would keep; without git, all that are not made by tools."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=False,
    )
    if listed.returncode == 0:
        names = [name for name in listed.stdout.decode().split("\0") if name]
        return [ROOT / name for name in names if (ROOT / name).is_file()]
    hidden = {".venv", ".git", "__pycache__", "outputs", "build", "dist"}
    return [p for p in ROOT.rglob("*") if p.is_file() and not hidden & set(p.parts)]


def texts() -> list[tuple[str, str]]:
    found = []
    for path in committed():
        data = path.read_bytes()
        if b"\0" not in data:
            found.append((str(path.relative_to(ROOT)), data.decode("utf-8", "replace")))
    return found


def test_import_contracts_are_kept() -> None:
    script = Path(sys.executable).with_name("lint-imports")
    run = subprocess.run(
        [str(script), "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stdout
    assert " 0 broken" in run.stdout


def test_no_file_is_too_long() -> None:
    long = {}
    for path in python_files():
        lines = len(path.read_text(encoding="utf-8").splitlines())
        if lines > LONGEST_FILE:
            long[str(path.relative_to(ROOT))] = lines
    assert long == {}


def test_no_file_is_a_lumber_room() -> None:
    assert [path for path in python_files() if path.name in BANNED_NAMES] == []


def test_public_names() -> None:
    assert sorted(routecheck.__all__) == list(routecheck.__all__)
    for name in routecheck.__all__:
        assert getattr(routecheck, name).__name__ == name
    with pytest.raises(AttributeError):
        _ = routecheck.no_such_name
    assert sorted(routecheck.__all__) == sorted(
        n for names in routecheck._HOMES.values() for n in names
    )


def test_every_module_imports_and_says_what_it_is() -> None:
    for module in pkgutil.walk_packages(routecheck.__path__, "routecheck."):
        if module.name == "routecheck.__main__":
            continue
        assert (importlib.import_module(module.name).__doc__ or "").strip(), module.name


def test_catalogue_of_checks_is_fresh() -> None:
    from routecheck.checks import all_checks
    from routecheck.writers.catalogue import to_catalogue

    kept = (ROOT / "docs" / "checks.md").read_text(encoding="utf-8")
    assert kept == to_catalogue(all_checks()), "run `make docs`"


def test_no_nan_stands_for_unknown() -> None:
    """Unknown is None, or a hole in the coverage: a NaN is less than no limit and passes all.

    Readers may meet NaN in the columns of a file; past them none may be made.
    """
    found = []
    for path in sorted((ROOT / "routecheck").rglob("*.py")):
        if path.parent.name == "readers":
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            if re.search(r"\b(np|numpy|math)\.nan\b|float\(\s*[\"']nan[\"']\s*\)", line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()}")
    assert found == []


# Put together here, so that this file does not hold the words that it forbids.
HOSTS = ("py" + "pi.org", "python" + "hosted", "deb." + "debian.org", "registry." + "npmjs")
PLACES = ("/" + "work/", "/" + "root/", "/tmp/" + "venv", "/" + "home/", "." + "library")


@pytest.mark.parametrize("word", [*HOSTS, *PLACES])
def test_tree_names_no_registry_and_no_machine(word: str) -> None:
    assert [name for name, text in texts() if word in text] == []


def test_requirements_are_exact_and_hashed() -> None:
    for name in sorted(one.name for one in ROOT.glob("requirements*.txt")):
        text = (ROOT / name).read_text(encoding="utf-8")
        wanted = [line for line in text.splitlines() if line and line[0] not in "# "]
        assert len(wanted) > 20
        assert [line for line in wanted if not re.match(r"[\w.-]+==[\w.+!]+", line)] == []
        assert text.count("--hash=sha256:") >= len(wanted)
        assert "://" not in text


def test_requirements_hold_every_dependency() -> None:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    run_time = (ROOT / "requirements.txt").read_text(encoding="utf-8")
    development = (ROOT / "requirements-dev.txt").read_text(encoding="utf-8")
    pinned = {
        name: {found.lower().replace("_", "-") for found in re.findall(r"^([\w.-]+)==", text, re.M)}
        for name, text in (("run", run_time), ("dev", development))
    }
    named = [re.match(r"[\w.-]+", d) for d in project["dependencies"]]
    extra = [re.match(r"[\w.-]+", d) for d in project["optional-dependencies"]["dev"]]
    run = {m.group().lower() for m in named if m}
    assert run - pinned["run"] == set()
    assert (run | {m.group().lower() for m in extra if m}) - pinned["dev"] == set()


def test_vet_as_json_imports_neither_map_nor_tables(tmp_path: Path) -> None:
    sample = ROOT / "sample_charts"
    code = (
        "import sys, contextlib, io\n"
        "from routecheck.cli import main\n"
        "out = io.StringIO()\n"
        "try:\n"
        "    with contextlib.redirect_stdout(out):\n"
        "        main(sys.argv[1:])\n"
        "except SystemExit as stop:\n"
        "    assert stop.code in (0, 1, 3), stop.code\n"
        "heavy = {'folium', 'geopandas', 'pandas', 'branca'} & set(sys.modules)\n"
        "print(sorted(heavy))\n"
        "print(out.getvalue())\n"
    )
    arguments = ["vet", str(sample / "routes/clean.gpx"), "--charts", str(sample / "charts")]
    arguments += ["--boat", str(sample / "boat.toml"), "--json"]
    run = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    heavy, _, report = run.stdout.partition("\n")
    assert heavy == "[]"
    assert json.loads(report)["schema"] == 1
    assert list(tmp_path.iterdir()) == []
