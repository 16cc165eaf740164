"""How a run ends early: a reader that goes away, a full device, an interrupt."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from routecheck.cli_porch import one_line_errors


def started(root: Path, words: list[str], **how: object) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "routecheck.cli", *words],
        stderr=subprocess.PIPE,
        text=True,
        cwd=root,
        **how,
    )


def vet(root: Path, route: str, out: Path) -> list[str]:
    samples = root / "sample_charts"
    return [
        "vet",
        str(samples / "routes" / route),
        "--charts",
        str(samples / "charts"),
        "--boat",
        str(samples / "boat.toml"),
        "--out",
        str(out),
    ]


@pytest.mark.parametrize(("route", "code"), [("over-a-shoal.gpx", 1), ("off-the-chart.gpx", 3)])
def test_a_reader_that_goes_away_changes_no_verdict(
    root: Path, tmp_path: Path, route: str, code: int
) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    run = started(root, vet(root, route, tmp_path / "out"), stdout=writing)
    os.close(writing)
    told = run.communicate(timeout=120)[1]
    assert (run.returncode, told) == (code, "")
    assert len(list((tmp_path / "out").glob("*/findings.json"))) == 1


def test_a_catalogue_cut_short_is_no_error(root: Path) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    run = started(root, ["checks", "--markdown"], stdout=writing)
    os.close(writing)
    assert (run.communicate(timeout=60)[1], run.returncode) == ("", 0)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here: a full device")
def test_a_full_device_is_told_in_one_line(root: Path) -> None:
    with Path("/dev/full").open("w") as full:
        run = started(root, ["charts", "sample_charts/charts"], stdout=full)
        told = run.communicate(timeout=60)[1]
    assert run.returncode == 2
    assert told.count("\n") == 1
    assert "could not be" in told


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["vet"], "Missing argument 'ROUTE...'"),
        (["vet", "a.gpx", "--chart", "b"], "No such option"),
        (["vet", "a.gpx", "--charts", "b"], "Missing option '--boat'"),
        (["charts", "x", "--units", "yards"], "No such option"),
        (["vat"], "No such command 'vat'"),
        (["vet", "a", "--charts", "b", "--boat", "c", "--depart", "noon"], "is not a time"),
    ],
)
def test_bad_usage_is_told_in_one_line(root: Path, words: list[str], said: str) -> None:
    run = started(root, words, stdout=subprocess.PIPE)
    out, told = run.communicate(timeout=60)
    assert (run.returncode, out, told.count("\n")) == (2, "", 1)
    assert told.startswith("routecheck: ")
    assert said in told
    assert "--help` tells more" in told


@pytest.mark.parametrize(("words", "code"), [(["--help"], 0), (["--version"], 0), ([], 2)])
def test_help_is_no_error(root: Path, words: list[str], code: int) -> None:
    run = started(root, words, stdout=subprocess.PIPE)
    out, told = run.communicate(timeout=60)
    assert run.returncode == code
    assert "routecheck" in out + told


def test_an_interrupt_is_no_verdict(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended, one_line_errors():
        raise KeyboardInterrupt
    assert ended.value.code == 130  # common practice of shells: 128 and SIGINT's number
    assert capsys.readouterr().err.count("\n") == 1
