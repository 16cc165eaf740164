"""Rows of marks on either side of the track: what they say, and when they say nothing."""

from __future__ import annotations

from routecheck.model.objects import Mark, MarkKind
from routecheck.model.passes import GroundKind, Sense
from tests.buoys import charts, judged, mark, met, zone

P, S = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND
UP = [(0.0, 0.0), (0.0, 6000.0)]


def rows(sides: str, first_m: float = 400.0, step_m: float = 400.0) -> list[Mark]:
    """One mark a letter along the track: p, s stand where they belong going up; P, S opposite."""
    made = []
    for number, letter in enumerate(sides):
        kind = P if letter in "pP" else S
        east_m = -100.0 if letter in "pS" else 100.0
        made.append(mark((east_m, first_m + step_m * number), kind, chr(65 + number)))
    return made


def edges(sides: str, back: bool = False) -> str:
    """For each mark: w (with), a (against) or - (says nothing)."""
    found = met(UP[::-1] if back else UP, charts(rows(sides)))
    said = {
        p.mark.name: next((g.sense for g in p.grounds if g.kind is GroundKind.EDGES), None)
        for p in found
    }
    letters = {Sense.WITH: "w", Sense.AGAINST: "a", None: "-"}
    return "".join(letters[said[chr(65 + n)]] for n in range(len(sides)))


def test_four_marks_two_of_each_hand() -> None:
    assert edges("psps") == "wwww"
    assert edges("PSPS") == "aaaa"
    assert edges("psps", back=True) == "aaaa"
    assert edges("pps") == "---"
    assert edges("ppps") == "----"


def test_one_hand_alone_says_nothing() -> None:
    assert edges("pppppp") == "------"


def test_the_odd_one_out_between_rows_that_agree() -> None:
    assert edges("pspsPpsps") == "wwwwwwwww"
    assert edges("psPsp") == "--w--"  # the rows beside it are too short to speak for themselves
    said = [judged(p) for p in met(UP, charts(rows("pspsPpsps")))]
    assert [s.outcome for s in said].count("wrong") == 1
    assert {str(s.severity) for s in said if s.outcome == "wrong"} == {"caution"}


def test_where_two_blocks_meet_the_last_and_the_first_say_nothing() -> None:
    assert edges("pspspsPSPSPS") == "wwwww--aaaaa"


def test_at_an_end_an_odd_one_says_nothing() -> None:
    """The last mark on the wrong side, or buoyage turned round there: nobody can tell."""
    assert edges("pspsP")[-1] == "-"
    assert edges("Ppsps")[0] == "-"


def test_nothing_of_it_where_something_better_speaks() -> None:
    stated = met(UP, charts(rows("psps"), [zone(180.0)]))
    assert GroundKind.EDGES not in {g.kind for p in stated for g in p.grounds}
    assert {p.grounds[0].sense for p in stated} == {Sense.AGAINST}


def test_the_ground_says_what_it_rests_on() -> None:
    (first, *_) = met(UP, charts(rows("psps")))
    assert first.grounds[0].text.startswith("2 port-hand marks stand to port of the track")
