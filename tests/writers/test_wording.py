"""Words that all outputs share: names made fit to show, lengths, sums, places."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.writers.wording.lengths import Lengths, Units, bearing, clock, position
from routecheck.writers.wording.names import columns, cut, json_in_page, plain, wrapped
from routecheck.writers.wording.sums import label_of, sum_line, sum_rows
from tests.writers.reports import HOSTILE, depth_sums

METRIC = Lengths(minus="-")
FEET = Lengths(units=Units.FEET, minus="-")


@given(st.text())
def test_plain_text_is_printable_and_one_line(text: str) -> None:
    shown = plain(text)
    assert shown.isprintable()
    assert len(shown) <= 120
    shown.encode("utf-8")


def test_escape_sequences_and_turned_text_lose_their_force() -> None:
    shown = plain("a\x1b[2Jb\x9bc\u202etxt.exe\u2066d\x00\r\ne")
    for character in "\x1b\x9b\u202e\u2066\x00\r\n":
        assert character not in shown
    assert shown.startswith("a\ufffd[2Jb")


@given(st.text(max_size=200), st.integers(12, 100))
def test_wrapped_lines_fit(text: str, width: int) -> None:
    lines = wrapped(plain(text), width=width, first="  - ", rest="    ")
    assert all(columns(line) <= width for line in lines)


@given(st.text(max_size=60))
def test_wrapping_loses_nothing(text: str) -> None:
    shown = plain(text)
    joined = "".join("".join(wrapped(shown, width=20)).split())
    assert joined == "".join(shown.split())


def test_wide_characters_take_two_columns() -> None:
    # Unicode Standard Annex 11, East Asian Width: ideographs are wide.
    assert columns("東京湾") == 6
    assert columns(cut("東京湾口航路", 7)) <= 7


@given(st.recursive(st.text() | st.integers() | st.none(), st.lists, max_leaves=8))
def test_json_in_a_page_cannot_end_its_block(value: object) -> None:
    text = json_in_page(value)
    assert not set("<>&\u2028\u2029") & set(text)


def test_json_in_a_page_reads_back() -> None:
    import json

    assert json.loads(json_in_page(list(HOSTILE))) == list(HOSTILE)


@pytest.mark.parametrize(
    ("value_m", "shown"),
    [(5.49, "5.4 m"), (5.4, "5.4 m"), (2.3, "2.3 m"), (-0.01, "-0.1 m"), (0.0, "0.0 m")],
)
def test_tables_round_down(value_m: float, shown: str) -> None:
    assert METRIC.floored(value_m) == shown


def test_feet_are_international_feet() -> None:
    # 1.8288 m is one fathom, six feet: NIST SP 811 (2008), Appendix B.8.
    assert FEET.exact(1.8288) == "6.0 ft"


def test_a_negative_margin_never_shows_as_zero() -> None:
    assert METRIC.number(-0.0004, 2) == "-0.01"
    assert METRIC.number(0.0, 1) == "0.0"
    assert METRIC.number(-1e-12, 1) == "0.0"


def test_bearings_have_three_figures() -> None:
    assert [bearing(a) for a in (0.0, 5.4, 359.6)] == ["000°", "005°", "000°"]


def test_positions_carry_their_minutes_over() -> None:
    assert position(-0.00000001, 59.9999999) == "60°00.000'N 000°00.000'W"
    assert position(181.5, -10.25) == "10°15.000'S 178°30.000'W"


def test_clock_is_utc() -> None:
    summer = timezone(timedelta(hours=2))
    assert clock(datetime(2027, 5, 14, 9, 30, tzinfo=summer)) == "2027-05-14 07:30 UTC"


def test_sum_is_written_out() -> None:
    assert sum_line(depth_sums(5.4), METRIC) == (
        "charted depth 5.4 m + height of tide 0.0 m (no tide given: 0 at chart datum) = "
        "available 5.4 m; draught 2.0 m + squat 0.0 m + heel and swell 0.0 m + "
        "under-keel clearance wanted 1.0 m = needed 3.0 m; margin +2.4 m; uncertainty 0.6 m"
    )


def test_sum_in_brief_leaves_out_noughts() -> None:
    line = sum_line(depth_sums(1.8), METRIC, brief=True)
    assert "squat" not in line
    assert "height of tide 0.0 m = available 1.8 m" in line
    assert "margin -1.2 m" in line


def test_terms_that_do_not_add_up_are_not_joined() -> None:
    wrong = depth_sums(5.4) | {"available_m": 6.0}
    assert "= available" not in sum_line(wrong, METRIC)
    assert "available 6.0 m" in sum_line(wrong, METRIC)


def test_a_sum_keeps_its_centimetres() -> None:
    line = sum_line({"draught_m": 1.905, "under_keel_m": 1.0, "needed_m": 2.905}, METRIC)
    assert line == "draught 1.91 m + under-keel clearance wanted 1.00 m = needed 2.91 m"


def test_side_of_a_mark_stands_by_itself_in_the_sum() -> None:
    line = sum_line({"course_deg": 45.3, "side_passed": "starboard"}, METRIC)
    assert line == "course 45.3°; side passed starboard"


def test_names_of_numbers_in_words() -> None:
    assert label_of("gate_width_m") == "gate width"
    assert label_of("<b>_m") == "<b>"
    (row,) = sum_rows({"not_seen_m2": 540000.0}, METRIC)
    assert (row.label, row.text) == ("corridor not seen", "540,000 m²")
