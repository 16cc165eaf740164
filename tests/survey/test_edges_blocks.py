"""Blocks of marks along a track, by their passes alone: where a row ends, and what it allows.

A pass is a letter, as in the tests of edges: p (port-hand) and s (starboard-hand) stand where they
belong with the direction of buoyage, P and S on the other side; 100 m off, 400 m apart.
"""

from __future__ import annotations

import pytest

from routecheck.model.objects import MarkKind
from routecheck.model.passes import Ground, GroundKind, Sense
from routecheck.survey.edges import Edges, edge_grounds
from routecheck.survey.minima import Minimum

KINDS = {"p": MarkKind.PORT_HAND, "s": MarkKind.STARBOARD_HAND, "n": MarkKind.NORTH}
NMI_M = 1852.0


def a_pass(number: int, letter: str, along_m: float, **more: object) -> Minimum:
    facts: dict[str, object] = {
        "mark": number, "line": 0, "along_m": along_m, "leg": 0, "leg_along_m": along_m,
        "route_along_m": along_m, "cross_m": -100.0 if letter in "pSn" else 100.0,
        "course_deg": 0.0, "bearing_deg": 90.0, "passed": True,
    }  # fmt: skip
    return Minimum(**{**facts, **more})  # type: ignore[arg-type]


def told(letters: str, at_m: list[float] | None = None, **more: object) -> str:
    """w (with), a (against), - (nothing is said); in capitals where it is not firm."""
    places = [400.0 * n for n in range(len(letters))] if at_m is None else at_m
    met = [a_pass(n, c, places[n]) for n, c in enumerate(letters)]
    kinds = {n: KINDS[c.lower()] for n, c in enumerate(letters)}
    # The order that they are handed over in is of no account.
    found = edge_grounds(met[::-1], kinds)
    signs = {Sense.WITH: "w", Sense.AGAINST: "a"}
    said = ""
    for one in met:
        edges = found.get(one)
        sign = signs[edges.ground.sense] if edges else "-"
        said += sign if edges is None or edges.firm else sign.upper()
    return said


@pytest.mark.parametrize(
    ("letters", "said"),
    [
        ("psps", "wwww"),
        ("PSPS", "aaaa"),
        ("pps", "---"),
        ("ppps", "----"),
        ("psss", "----"),
        ("ppss", "wwww"),
        ("npsnps", "-ww-ww"),  # other marks neither speak nor part a row
        ("pspsPSPS", "wwwWAaaa"),  # where two blocks meet
        ("pspsPSpsps", "wwwW--Wwww"),  # two that disagree are no odd one out
        ("psPsp", "--w--"),
        ("sspss", "-----"),
        ("psPSSPPsp", "--AaaaA--"),
        ("pSsp", "----"),
        ("psPss", "-----"),  # one hand alone on either side of the odd one
        ("ppSpp", "-----"),
        ("pPsp", "----"),  # a single one on its far side
        ("psPs", "----"),
        ("pspsP", "wwwW-"),
        ("Ppsps", "-Wwww"),
        ("pspsPpsps", "wwwwwwwww"),
        ("pspspPspsps", "wwwwwwwwwww"),
        ("PSPSpspsPpsps", "aaaAWwwwwwwww"),  # … the second of two places where blocks meet
        ("PSPSpPSPS", "aaaaaaaaa"),
        ("pPspsp", "--Wwww"),  # one mark before the odd one does not make a row
    ],
)
def test_what_each_pass_is_told(letters: str, said: str) -> None:
    assert told(letters) == said


@pytest.mark.parametrize(("gap_m", "said"), [(2.0 * NMI_M, "wwww"), (2.0 * NMI_M + 0.1, "----")])
def test_a_row_ends_where_no_mark_follows_within_two_miles(gap_m: float, said: str) -> None:
    assert told("psps", [0.0, 400.0, 400.0 + gap_m, 800.0 + gap_m]) == said
    # A row after a row that agrees with it takes nothing from its last mark.
    places = [0.0, 400.0, 800.0, 1200.0]
    assert told("pspspsps", [*places, *(1200.0 + gap_m + p for p in places)]) == "w" * 8


@pytest.mark.parametrize(
    ("letters", "at_m", "said"),
    # Two nautical miles are 3,704 m.
    [
        ("psPsp", [296.0, 2000.0, 4000.0, 6000.0, 7704.0], "--w--"),
        ("psPsp", [295.9, 2000.0, 4000.0, 6000.0, 7704.0], "-----"),
        ("psPsp", [296.0, 2000.0, 4000.0, 6000.0, 7704.1], "-----"),
        # Three marks on either side speak, however far off the fourth.
        ("pspsPpsps", [0.0, 3e3, 34e2, 38e2, 42e2, 46e2, 5e3, 54e2, 85e2], "wwwwwwwww"),
        ("pspsPpsps", [3e2, 4e2, 38e2, 4e3, 42e2, 46e2, 5e3, 54e2, 85e2], "wwwW-Wwww"),
        ("pspsPpsps", [0.0, 3e3, 34e2, 38e2, 42e2, 46e2, 5e3, 8e3, 85e2], "wwwW-Wwww"),
    ],
)
def test_the_rows_beside_an_odd_one_are_near_it(letters: str, at_m: list[float], said: str) -> None:
    assert told(letters, at_m) == said


def test_one_mark_passed_twice_is_still_the_only_odd_one() -> None:
    met = [a_pass(n, c, 400.0 * n) for n, c in enumerate("pspsPPpsps")]
    met[5] = a_pass(4, "P", 2000.0)
    kinds = {m.mark: KINDS[c.lower()] for m, c in zip(met, "pspsPPpsps", strict=True)}
    found = edge_grounds(met, kinds)
    assert {found[m].ground.sense for m in met} == {Sense.WITH}


@pytest.mark.parametrize(("cross_m", "count"), [(0.0, 4), (0.5, 4), (-0.5, 0)])
def test_a_mark_on_the_track_itself_is_to_starboard(cross_m: float, count: int) -> None:
    met = [a_pass(n, c, 400.0 * n) for n, c in enumerate("psps")]
    met[1] = a_pass(1, "s", 400.0, cross_m=cross_m)
    assert len(edge_grounds(met, {m.mark: KINDS["psps"[m.mark]] for m in met})) == count


def test_a_mark_that_is_not_passed_and_one_of_no_kind_say_nothing() -> None:
    met = [a_pass(n, c, 400.0 * n) for n, c in enumerate("pspsps")]
    kinds = {m.mark: KINDS["pspsps"[m.mark]] for m in met}
    met[5] = a_pass(5, "s", 2000.0, passed=False)
    del kinds[0]
    assert list(edge_grounds(met, kinds)) == met[1:5]


@pytest.mark.parametrize(
    ("letters", "text"),
    [
        ("ppsss", "2 port-hand marks stand to port of the track and "
         "3 starboard-hand marks to starboard, one after the other"),
        ("PPSSS", "2 port-hand marks stand to starboard of the track and "
         "3 starboard-hand marks to port, one after the other"),
        ("pppspPspspp", "3 port-hand marks stand to port of the track and "
         "3 starboard-hand marks to starboard, one after the other"),
    ],
)  # fmt: skip
def test_the_words(letters: str, text: str) -> None:
    met = [a_pass(n, c, 400.0 * n) for n, c in enumerate(letters)]
    found = edge_grounds(met, {n: KINDS[c.lower()] for n, c in enumerate(letters)})
    ground = found[met[5 if "P" in letters and "p" in letters else 0]].ground
    assert (ground.kind, ground.text) == (GroundKind.EDGES, text)


def test_what_a_facing_pair_allows() -> None:
    ground, same, turned = (
        Ground(kind=GroundKind.EDGES, sense=sense, text="")
        for sense in (Sense.WITH, Sense.WITH, Sense.AGAINST)
    )
    firm, loose = Edges(ground=ground, firm=True), Edges(ground=ground, firm=False)
    for abreast in (True, False):
        assert firm.allowing(None, abreast=abreast) is ground
        assert firm.allowing(same, abreast=abreast) is ground
        assert loose.allowing(None, abreast=abreast) is None
        for edges in (firm, loose):
            assert edges.allowing(turned, abreast=abreast) is None
    assert loose.allowing(same, abreast=True) is ground
    assert loose.allowing(same, abreast=False) is None
