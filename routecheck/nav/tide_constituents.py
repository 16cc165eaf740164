"""Tidal constituents: their names, arguments, speeds, and the rule for compound tides.

Arguments and names: IHO Tide, Water Level and Current Working Group, Standard List of Tidal
Constituents (8 May 2017), with its Annex B for compounds; node factors by P. Schureman, Manual
of Harmonic Analysis and Prediction of Tides, U.S. Coast and Geodetic Survey SP 98 (1940, rev.
1958), Table 2. The argument of SA is the sun's mean longitude h alone, as NOAA publishes it
(Schureman: no solar perigee); L2 and M1 are Schureman's, with his R and Q. M1C has the phase
that the Rijkswaterstaat gives it, 180 degrees from the IHO's.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

RATES_DEG_PER_H = (14.4920521, 0.5490165, 0.0410686, 0.0046418, 0.0000020)
"""Hourly change of tau, s, h, p and p1 to seven places: Schureman SP 98, Table 1."""


@dataclass(frozen=True, kw_only=True)
class Constituent:
    """One constituent: argument V = turns . (tau, s, h, p, p1) + offset, node corrections by name.

    `factors` raises node factors to powers; `angles` adds up Schureman's node angles.
    """

    name: str
    turns: tuple[int, int, int, int, int]
    offset_deg: float
    factors: Mapping[str, float] = field(default_factory=dict)
    angles: Mapping[str, float] = field(default_factory=dict)

    @property
    def speed_deg_per_h(self) -> float:
        """Degrees an hour, to seven places."""
        return sum(n * rate for n, rate in zip(self.turns, RATES_DEG_PER_H, strict=True))

    @property
    def species(self) -> int:
        """Cycles a day: 0 long-period, 1 diurnal, 2 semi-diurnal …"""
        return self.turns[0]


# Node corrections: the factor's name, and how often each node angle goes into u.
_NODES: dict[str, tuple[dict[str, float], dict[str, float]]] = {
    "none": ({}, {}),
    "Mm": ({"Mm": 1}, {}),
    "Mf": ({"Mf": 1}, {"xi": -2}),
    "MSf": ({"M2": 1}, {"xi": -2, "nu": 2}),
    "O1": ({"O1": 1}, {"xi": 2, "nu": -1}),
    "J1": ({"J1": 1}, {"nu": -1}),
    "OO1": ({"OO1": 1}, {"xi": -2, "nu": -1}),
    "K1": ({"K1": 1}, {"nu1": -1}),
    "M1": ({"M1": 1}, {"nu": -1, "q": 1, "p_xi": -1}),
    "M2": ({"M2": 1}, {"xi": 2, "nu": -2}),
    "M3": ({"M2": 1.5}, {"xi": 3, "nu": -3}),
    "L2": ({"L2": 1}, {"xi": 2, "nu": -2, "r": -1}),
    "K2": ({"K2": 1}, {"nu2": -1}),
    "half M2": ({"M2": 0.5}, {"xi": 1, "nu": -1}),
    "5 half M2": ({"M2": 2.5}, {"xi": 5, "nu": -5}),
    "7 half M2": ({"M2": 3.5}, {"xi": 7, "nu": -7}),
}

# Name, other names, the six digits of the IHO's extended Doodson number (tau, s, h, p, -N, p1, each
# with 5 added but the first) with the seventh for the phase in right angles, and the node rule.
_LIST = """
SA      -                   0 565 555  none     M2      -               2 555 555  M2
SSA     -                   0 575 555  none     S2      -               2 735 555  none
STA     -                   0 585 555  none     N2      -               2 456 555  M2
MM      -                   0 654 555  Mm       NU2     -               2 474 555  M2
MSM     MNUM                0 636 555  Mm       MU2     -               2 375 555  M2
MSF     SM,MSO              0 735 555  MSf      2N2     -               2 357 555  M2
MF      -                   0 755 555  Mf       EPS2    EP2,E2          2 276 555  M2
MFM     MTM                 0 854 555  Mf       GAMMA2  GAM2            2 537 557  M2
MSTM    -                   0 836 555  Mf       ALPHA2  ALP2            2 545 567  M2
MSQM    -                   0 935 555  Mf       MA2     H1              2 545 555  M2
MQM     -                   0 953 555  Mf       MB2     H2              2 565 555  M2
2Q1     -                   1 257 554  O1       DELTA2  DEL2            2 575 555  M2
SIGMA1  SIG1,SGM            1 275 554  O1       LAMBDA2 LABDA2,LAM2,LDA2 2 636 557 M2
Q1      -                   1 356 554  O1       L2      -               2 654 557  L2
RHO1    RHO,RO1             1 374 554  O1       T2      -               2 725 565  none
O1      -                   1 455 554  O1       R2      -               2 745 547  none
TAU1    -                   1 475 556  K1       K2      -               2 755 555  K2
M1      -                   1 556 556  M1       M3      -               3 555 557  M3
M1C     -                   1 555 557  half_M2  S3      -               3 825 557  none
CHI1    -                   1 574 556  J1       S1      -               1 645 557  none
PI1     -                   1 625 564  none     K1      -               1 655 556  K1
P1      -                   1 635 554  none     PSI1    -               1 665 546  none
PHI1    FI1                 1 675 556  none     THETA1  THE1            1 736 556  J1
J1      -                   1 754 556  J1       OO1     -               1 855 556  OO1
UPS1    -                   1 954 556  OO1      M5      -               5 556 556  5_half_M2
M7      -                   7 556 556  7_half_M2
"""


def _listed() -> tuple[dict[str, Constituent], dict[str, str]]:
    made: dict[str, Constituent] = {}
    also: dict[str, str] = {}
    pattern = r"(\S+)\s+(\S+)\s+(\d) (\d{3}) (\d{3})\s+(\S+)"
    for name, others, first, second, third, rule in re.findall(pattern, _LIST):
        s, h, p, _, p1, phase = (int(digit) - 5 for digit in second + third)
        factors, angles = _NODES[rule.replace("_", " ")]
        made[name] = Constituent(
            name=name,
            turns=(int(first), s, h, p, p1),
            offset_deg=90.0 * phase,
            factors=factors,
            angles=angles,
        )
        if others != "-":
            also.update(dict.fromkeys(others.split(","), name))
    return made, also


_BY_NAME, _ALSO = _listed()

# What the letters of a compound's name stand for; K, S and M by whether the species is odd.
_LETTERS = {
    "M": "M2",
    "S": "S2",
    "N": "N2",
    "K": "K2",
    "L": "L2",
    "T": "T2",
    "R": "R2",
    "O": "O1",
    "P": "P1",
    "Q": "Q1",
    "J": "J1",
    "NU": "NU2",
    "MU": "MU2",
    "LABDA": "LAMBDA2",
}
_PART = re.compile(r"(\d*)(?:\((\w+?)\)|(LABDA|NU|MU|[MSNKLTROPQJ]))")
_MOST_PARTS = 6


def constituent(name: str) -> Constituent:
    """The constituent of that name (IHO or common spelling, compound tides by their rule).

    Raises ValueError, in words, for a name that is neither listed nor a compound of listed ones.

    >>> round(constituent("M2").speed_deg_per_h, 7)
    28.9841042
    >>> round(constituent("2MK3").speed_deg_per_h, 6)
    42.92714
    """
    wanted = name.strip().upper().replace("_", "")
    wanted = _ALSO.get(wanted, wanted)
    found = _BY_NAME.get(wanted) or _compound(wanted)
    if found is None:
        raise ValueError(f"constituent {name.strip()!r} is not known")
    return found


@cache
def _compound(name: str) -> Constituent | None:
    """IHO standard list, Annex B: add all letters; where that gives the wrong number of cycles a
    day, change signs from the right until it is right. The Rijkswaterstaat leaves out the last
    multiple (3MS2 for 3M2S2): it grows until the cycles are right."""
    match = re.fullmatch(r"(\S*?[A-Z)])(\d{1,2})", name)
    if match is None:
        return None
    species = int(match.group(2))
    parts = _letters(match.group(1), species)
    if not parts or (len(parts) == 1 and parts[0][0] == 1):
        return None
    for last in range(1, 5):
        grown = [*parts[:-1], (parts[-1][0] * last, parts[-1][1])]
        for flipped in range(len(grown)):
            signs = [1] * (len(grown) - flipped) + [-1] * flipped
            if sum(s * n * c.species for s, (n, c) in zip(signs, grown, strict=True)) == species:
                return _sum(name, [(s * n, c) for s, (n, c) in zip(signs, grown, strict=True)])
        if len(parts) != 2 or not match.group(1).endswith("S") or parts[-1][0] != 1:
            break
    return None


def _letters(text: str, species: int) -> list[tuple[int, Constituent]]:
    """Multiples and constituents in a compound's name, [] where it is none."""
    raw: list[tuple[int, str]] = []
    at = 0
    while at < len(text):
        found = _PART.match(text, at)
        if found is None or len(raw) >= _MOST_PARTS:
            return []
        number = int(found.group(1) or 1)
        letters = [found.group(3)] if found.group(3) else list(found.group(2))
        if not 1 <= number <= 12 or any(letter not in _LETTERS for letter in letters):
            return []
        raw.extend((number, letter) for letter in letters)
        at = found.end()
    if len(raw) == 1 and raw[0][0] == 1 and raw[0][1] in "MSNK" and species:
        # M4, S6, N4: an overtide, the name's number of cycles of one letter alone.
        letter = raw[0][1]
        return [(species // 2, _BY_NAME[letter + "2"])] if species % 2 == 0 else []
    odd = (species + sum(n for n, letter in raw if letter in "OPQJ")) % 2 == 1
    parts = []
    for number, letter in raw:
        own = _LETTERS[letter]
        # K is K1 where the other letters do not make the species odd already, and S is S1.
        if letter == "K" and odd and number % 2 == 1:
            own, odd = "K1", False
        elif letter == "S" and odd and number == 1 and "K" not in text:
            own, odd = "S1", False
        parts.append((number, _BY_NAME[own]))
    return parts


def _sum(name: str, parts: list[tuple[int, Constituent]]) -> Constituent:
    factors: dict[str, float] = {}
    angles: dict[str, float] = {}
    turns, offset_deg = [0] * 5, 0.0
    for number, part in parts:
        turns = [t + number * own for t, own in zip(turns, part.turns, strict=True)]
        offset_deg += number * part.offset_deg
        for key, power in part.factors.items():
            factors[key] = factors.get(key, 0.0) + abs(number) * power
        for key, times in part.angles.items():
            angles[key] = angles.get(key, 0.0) + number * times
    tau, s, h, p, p1 = turns
    return Constituent(
        name=name,
        turns=(tau, s, h, p, p1),
        offset_deg=offset_deg,
        factors=factors,
        angles=angles,
    )
