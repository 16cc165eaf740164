"""Tables, series and constants as CSV: bad ones are told by their line."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.errors import BadInput
from routecheck.readers.tide_csv import read_constants, read_series, read_table, read_time_s

GOOD = ["2027-05-14T01:10Z,0.6", "2027-05-14T07:20Z,4.9", "2027-05-14T13:35Z,0.9"]


def file(folder: Path, lines: list[str], header: str = "time,height_m") -> Path:
    path = folder / "t.csv"
    path.write_text("\n".join([header, *lines]) + "\n", encoding="utf-8")
    return path


def test_a_table(tmp_path: Path) -> None:
    made = read_table(file(tmp_path, GOOD))
    assert made.event_m.tolist() == [0.6, 4.9, 0.9]
    assert np.diff(made.event_s).tolist() == [22_200.0, 22_500.0]


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ([GOOD[1], GOOD[0], GOOD[2]], "line 3: its time is before the one above"),
        ([GOOD[0], GOOD[0], GOOD[1]], "line 3: its time is the same as the one above"),
        ([*GOOD[:2], "2027-05-14T09:00Z,5.1"], "line 4: the height goes on rising: two high"),
        ([*GOOD, "2027-05-14T16:00Z,0.5"], "line 5: the height goes on falling: two low waters"),
        ([*GOOD[:2], "2027-05-14T09:00Z,4.9"], "line 4: it is as high as the one before"),
        ([GOOD[0], GOOD[2].replace("0.9", "4.0"), "2027-05-15T10:00Z,1"], "be missing"),
        (["2027-05-14T01:10Z,0.6", "2027-05-14T01:40Z,4.9"], "only 30 minutes after the last"),
        (["2027-05-14T01:10,0.6", *GOOD[1:]], "line 2: '2027-05-14T01:10' has no time zone"),
        (["14.5.2027 01:10,0.6", *GOOD[1:]], "line 2: '14.5.2027 01:10' is not a time like"),
        ([GOOD[0], "2027-05-14T07:20Z,16.1", GOOD[2]], ""),
        ([GOOD[0], "2027-05-14T07:20Z,38.1", GOOD[2]], "look at the unit: feet or centimetres?"),
        (["2027-05-14T01:10Z,-9", "2027-05-14T07:20Z,9.1"], "a range of 18.1 m is more than any"),
        ([GOOD[0], "2027-05-14T07:20Z,490", GOOD[2]], "look at the unit"),
        ([GOOD[0], "2027-05-14T07:20Z,", GOOD[2]], "line 3: it is blank"),
        ([GOOD[0], '2027-05-14T07:20Z,"4,9"', GOOD[2]], "write the decimal point as '.'"),
        ([GOOD[0], "2027-05-14T07:20Z,nan", GOOD[2]], "'nan' is not a number"),
        ([GOOD[0], "2027-05-14T07:20Z", GOOD[2]], "line 3: it has 1 values for 2 columns"),
        ([GOOD[0]], "fewer than two high or low waters"),
        ([], "it has no line below its header"),
    ],
)
def test_a_bad_table(tmp_path: Path, lines: list[str], said: str) -> None:
    path = file(tmp_path, lines)
    if not said:
        assert len(read_table(path).event_m) == 3
        return
    with pytest.raises(BadInput) as caught:
        read_table(path)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("time,height", "'height' is not a column here ('height_m'?)"),
        ("time,height_m,height_ft", "it has two of heights"),
        ("time", "it has no column of heights"),
        ("height_m", "no column 'time'"),
        ("time,time", "'time' stands twice"),
    ],
)
def test_a_bad_header(tmp_path: Path, header: str, said: str) -> None:
    count = header.count(",") + 1
    line = ",".join(["2027-05-14T01:10Z", "0.6", "0.6"][:count])
    with pytest.raises(BadInput) as caught:
        read_table(file(tmp_path, [line] * 2, header))
    assert said in str(caught.value)


def test_high_waters_alone_are_no_table(tmp_path: Path) -> None:
    """Found 2026-11-25: high waters of 4.9, 4.6 and 4.8 m alone rise and fall, and were read as a
    tide that never fell below 4.6 m."""
    highs = ["2027-05-14T07:20Z,4.9", "2027-05-14T19:50Z,4.6", "2027-05-15T08:10Z,4.8"]
    with pytest.raises(BadInput, match=r"line 3: it is 12\.5 hours after"):
        read_table(file(tmp_path, highs))
    header = "time,height_m,kind"
    with pytest.raises(BadInput, match="called high, but the next one before says not"):
        read_table(file(tmp_path, [f"{line},high" for line in highs], header))
    some = [f"{highs[0]},high", f"{highs[1]},", f"{highs[2]},high"]
    with pytest.raises(BadInput, match="call each high or low"):
        read_table(file(tmp_path, some, header))
    # One tide a day: both are there, and said to be.
    daily = ["2027-05-14T07:20Z,1.1,high", "2027-05-14T19:50Z,0.2,low"]
    assert len(read_table(file(tmp_path, daily, header)).event_m) == 2


def test_kinds_must_agree_with_the_heights(tmp_path: Path) -> None:
    header = "time,height_m,kind"
    assert read_table(file(tmp_path, [f"{GOOD[0]},LW", f"{GOOD[1]},high"], header))
    with pytest.raises(BadInput, match="line 2: called high, but the next one after says not"):
        read_table(file(tmp_path, [f"{GOOD[0]},high", f"{GOOD[1]},low"], header))
    with pytest.raises(BadInput, match="neither high nor low"):
        read_table(file(tmp_path, [f"{GOOD[0]},spring", f"{GOOD[1]},"], header))


def test_a_series_needs_order_and_a_few_samples(tmp_path: Path) -> None:
    assert len(read_series(file(tmp_path, GOOD)).sample_m) == 3
    with pytest.raises(BadInput, match="fewer than three"):
        read_series(file(tmp_path, GOOD[:2]))
    with pytest.raises(BadInput, match="put the times in order"):
        read_series(file(tmp_path, [GOOD[2], *GOOD[:2]]))


def test_constants(tmp_path: Path) -> None:
    header = "name,amplitude_ft,phase_deg"
    found = read_constants(file(tmp_path, ["M2,1,30.5", "S2,2,0"], header))
    assert found == [(2, "M2", 0.3048, 30.5, None), (3, "S2", 0.6096, 0.0, None)]
    with pytest.raises(BadInput, match="one column of amplitudes"):
        read_constants(file(tmp_path, ["M2,30.5"], "name,phase_deg"))


def test_times_with_zones() -> None:
    assert read_time_s("2027-05-14T08:30+01:00") == read_time_s("2027-05-14T07:30Z")
    for bad in ("", "x", "2027-05-14T07:30", "2027-05-14", "9999-01-01T00:00Z", "1" * 60):
        with pytest.raises(ValueError):
            read_time_s(bad)


@given(text=st.text(alphabet="0123456789-:TZ,.+\n\"';hmeigt_ \r\x00é", max_size=200))
def test_no_text_raises_anything_but_bad_input(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    path = tmp_path_factory.mktemp("csv") / "t.csv"
    path.write_bytes(text.encode())
    for reader in (read_table, read_series, read_constants):
        with pytest.raises(BadInput):
            reader(path)
