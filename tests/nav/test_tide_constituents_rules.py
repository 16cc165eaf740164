"""Arguments and node corrections of single constituents, and how compounds are put together.

V and u by P. Schureman, SP 98 (1940, rev. 1958), Table 2, with tau = T - s + h counted from the
lower transit, so that his 90 degrees with odd cycles are turned by 180 (from memory).
"""

from __future__ import annotations

import pytest

from routecheck.nav.tide_constituents import Constituent, _listed, constituent

# Name: turns of (tau, s, h, p, p1), degrees added, node factors, node angles in u.
TABLE_2 = {
    "SA": ((0, 0, 1, 0, 0), 0, {}, {}),
    "SSA": ((0, 0, 2, 0, 0), 0, {}, {}),
    "MM": ((0, 1, 0, -1, 0), 0, {"Mm": 1}, {}),
    "MF": ((0, 2, 0, 0, 0), 0, {"Mf": 1}, {"xi": -2}),
    # S2 less M2: its u is the opposite of M2's.
    "MSF": ((0, 2, -2, 0, 0), 0, {"M2": 1}, {"xi": -2, "nu": 2}),
    "Q1": ((1, -2, 0, 1, 0), -90, {"O1": 1}, {"xi": 2, "nu": -1}),
    "O1": ((1, -1, 0, 0, 0), -90, {"O1": 1}, {"xi": 2, "nu": -1}),
    "M1": ((1, 0, 0, 1, 0), 90, {"M1": 1}, {"nu": -1, "q": 1, "p_xi": -1}),
    "M1C": ((1, 0, 0, 0, 0), 180, {"M2": 0.5}, {"xi": 1, "nu": -1}),
    "PI1": ((1, 1, -3, 0, 1), -90, {}, {}),
    "P1": ((1, 1, -2, 0, 0), -90, {}, {}),
    "K1": ((1, 1, 0, 0, 0), 90, {"K1": 1}, {"nu1": -1}),
    "J1": ((1, 2, 0, -1, 0), 90, {"J1": 1}, {"nu": -1}),
    "OO1": ((1, 3, 0, 0, 0), 90, {"OO1": 1}, {"xi": -2, "nu": -1}),
    "M2": ((2, 0, 0, 0, 0), 0, {"M2": 1}, {"xi": 2, "nu": -2}),
    "N2": ((2, -1, 0, 1, 0), 0, {"M2": 1}, {"xi": 2, "nu": -2}),
    "S2": ((2, 2, -2, 0, 0), 0, {}, {}),
    "K2": ((2, 2, 0, 0, 0), 0, {"K2": 1}, {"nu2": -1}),
    "L2": ((2, 1, 0, -1, 0), 180, {"L2": 1}, {"xi": 2, "nu": -2, "r": -1}),
    "T2": ((2, 2, -3, 0, 1), 0, {}, {}),
    "R2": ((2, 2, -1, 0, -1), 180, {}, {}),
    # Odd multiples of half of M2, each with that many times half of its u.
    "M3": ((3, 0, 0, 0, 0), 180, {"M2": 1.5}, {"xi": 3, "nu": -3}),
    "M5": ((5, 0, 0, 1, 0), 90, {"M2": 2.5}, {"xi": 5, "nu": -5}),
    "M7": ((7, 0, 0, 1, 0), 90, {"M2": 3.5}, {"xi": 7, "nu": -7}),
}


@pytest.mark.parametrize("name", TABLE_2)
def test_table_2(name: str) -> None:
    found = constituent(name)
    assert (found.turns, found.offset_deg, found.factors, found.angles) == TABLE_2[name]
    assert (found.name, found.species) == (name, TABLE_2[name][0][0])


def test_the_list_as_it_is_read() -> None:
    """Every name of the list, each with its row; other names lead to names of the list."""
    made, also = _listed()
    assert len(made) == 51
    for name, row in TABLE_2.items():
        one = made[name]
        assert (one.name, one.turns, one.offset_deg, one.factors, one.angles) == (name, *row)
    assert (also["LABDA2"], also["LDA2"], also["MNUM"], also["H1"]) == (
        "LAMBDA2",
        "LAMBDA2",
        "MSM",
        "MA2",
    )
    assert "-" not in also and set(also.values()) <= set(made)


# Sums and differences, by hand from the rows above (IHO list, Annex B).
COMPOUNDS = {
    # M2 + O1
    "MO3": ((3, -1, 0, 0, 0), -90, {"M2": 1, "O1": 1}, {"xi": 4, "nu": -3}),
    # 2 M2 - K1
    "2MK3": ((3, -1, 0, 0, 0), -90, {"M2": 2, "K1": 1}, {"xi": 4, "nu": -4, "nu1": 1}),
    # M2 + T2
    "MT4": ((4, 2, -3, 0, 1), 0, {"M2": 1}, {"xi": 2, "nu": -2}),
    # 2 M2 - N2: both have the factor of M2.
    "2MN2": ((2, 1, 0, -1, 0), 0, {"M2": 3}, {"xi": 2, "nu": -2}),
    # M2 + L2 - S2
    "MLS2": ((2, -1, 2, -1, 0), 180, {"M2": 1, "L2": 1}, {"xi": 4, "nu": -4, "r": -1}),
    # One letter alone: as often as the species wants it, or as its multiple says.
    "M4": ((4, 0, 0, 0, 0), 0, {"M2": 2}, {"xi": 4, "nu": -4}),
    "2M4": ((4, 0, 0, 0, 0), 0, {"M2": 2}, {"xi": 4, "nu": -4}),
    "K4": ((4, 4, 0, 0, 0), 0, {"K2": 2}, {"nu2": -2}),
    "N4": ((4, -2, 0, 2, 0), 0, {"M2": 2}, {"xi": 4, "nu": -4}),
    "S6": ((6, 6, -6, 0, 0), 0, {}, {}),
    # The last multiple left out grows: 3 M2 - 2 S2, and as far as 5 M2 - 4 S2.
    "3MS2": ((2, -4, 4, 0, 0), 0, {"M2": 3}, {"xi": 6, "nu": -6}),
    "5MS2": ((2, -8, 8, 0, 0), 0, {"M2": 5}, {"xi": 10, "nu": -10}),
    # S beside an odd species is S1, but for a name with a K, which is K1 then.
    "MS3": ((3, 1, -1, 0, 0), 180, {"M2": 1}, {"xi": 2, "nu": -2}),
    "MSK5": ((5, 3, -2, 0, 0), 90, {"M2": 1, "K1": 1}, {"xi": 2, "nu": -2, "nu1": -1}),
    # Twice K1 would leave the species as even as it is: 2 K is 2 K2, and 2 K2 - K1 makes three.
    "2KK3": ((3, 3, 0, 0, 0), -90, {"K2": 2, "K1": 1}, {"nu2": -2, "nu1": 1}),
    # One of the letters alone makes the species odd: M2 + K1 + K2, S1 + S2 + M2.
    "MKK5": (
        (5, 3, 0, 0, 0),
        90,
        {"M2": 1, "K1": 1, "K2": 1},
        {"xi": 2, "nu": -2, "nu1": -1, "nu2": -1},
    ),
    "SSM5": ((5, 3, -3, 0, 0), 180, {"M2": 1}, {"xi": 2, "nu": -2}),
    # Twelve is the greatest multiple.
    "12MS26": ((26, 2, -2, 0, 0), 0, {"M2": 12}, {"xi": 24, "nu": -24}),
    # Six letters are the most.
    "MMMMMM12": ((12, 0, 0, 0, 0), 0, {"M2": 6}, {"xi": 12, "nu": -12}),
    # A bracket's multiple holds for each letter in it: 2 M2 + 2 N2 - S2.
    "2(MN)S6": ((6, -4, 2, 2, 0), 0, {"M2": 4}, {"xi": 8, "nu": -8}),
}


@pytest.mark.parametrize("name", COMPOUNDS)
def test_compounds(name: str) -> None:
    found = constituent(name)
    assert (found.turns, found.offset_deg, found.factors, found.angles) == COMPOUNDS[name]
    assert found.name == name


@pytest.mark.parametrize(
    "name",
    [
        "M0",
        "S0",  # no cycles a day
        "-",  # the sign for "no other name" in a list
        "(M)2",  # one letter, once: no compound
        "M9",  # an odd species of an even letter
        "3M4",  # three times two are not four
        "L4",  # overtides are those of M, S, N and K
        "6MS2",  # the last multiple would have to be five
        "MNS12",  # three letters: nothing grows
        "MN6",  # not S: nothing grows
        "M2S10",  # a multiple that is said does not grow
        "M3S5",  # three times S is not S1
        "MMMMMMM14",  # seven letters
        "2K3",  # twice K1 or K2 is even
        "MOS3",  # M2 - O1 + S2: signs change from the right alone
        "MNS4",  # M2 + N2: no letter is left out
        "3MS6",
        "13MS28",
        "0MS2",
        "2(MX)4",  # a letter that stands for nothing
        "(XY)4",
    ],
)
def test_no_constituents(name: str) -> None:
    with pytest.raises(
        ValueError, match=f"'{name}' is not known".replace("(", r"\(").replace(")", r"\)")
    ):
        constituent(name)


def test_rates() -> None:
    """Degrees an hour from the lengths of the periods: the lunar day of 24.84120 h, the tropical
    month of 27.321582 days, the tropical year of 365.242199 days, the perigee's 8.8473 Julian years
    and the perihelion's 20,940 (Schureman, paragraphs 13 to 24; to these digits from memory)."""
    year_h = 365.25 * 24.0
    periods_h = (24.8412024, 27.321582 * 24.0, 365.242199 * 24.0, 8.8473 * year_h, 20_940 * year_h)
    alone = ((1, 0, 0, 0, 0), (0, 1, 0, 0, 0), (0, 0, 1, 0, 0), (0, 0, 0, 1, 0), (0, 0, 0, 0, 1))
    for turns, period_h, digits in zip(alone, periods_h, (6, 7, 7, 6, 7), strict=True):
        rate = Constituent(name="", turns=turns, offset_deg=0.0).speed_deg_per_h
        assert round(rate, digits) == pytest.approx(round(360.0 / period_h, digits), abs=1e-12)
