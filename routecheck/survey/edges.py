"""The edges of a channel: marks of one hand on one side of the track, of the other on the other.

A track between a row of port-hand and a row of starboard-hand marks goes with the direction of
buoyage if the port-hand ones are to port, else against it. Marks that agree one after the other
along the track make a block. A block of at least four marks, two of each hand, tells the sense
at its own marks; a single mark that disagrees between two blocks that agree is the odd one out.
Anything else says nothing. Where two blocks meet, buoyage turns round or a mark was passed on the
wrong side: the marks there are told only if a facing pair agrees. All this is used only where
nothing is stated and no numbers tell.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from routecheck.model.objects import MarkKind
from routecheck.model.passes import Ground, GroundKind, Sense
from routecheck.survey.minima import Minimum
from routecheck.units import METRES_PER_NMI

_EACH_HAND = 2
_BESIDE = 2
"""Marks that must agree on either side of an odd one out."""
_GAP_M = 2.0 * METRES_PER_NMI
"""Marks further apart along the track are not of one row."""
_LEFT_WITH = {MarkKind.PORT_HAND: False, MarkKind.STARBOARD_HAND: True}
"""Hand, and whether it is left to starboard when going with the direction of buoyage."""


@dataclass(frozen=True, kw_only=True)
class _Block:
    sense: Sense
    passes: tuple[Minimum, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Edges:
    """What the rows of marks say at a pass; not `firm` where blocks of two senses meet."""

    ground: Ground
    firm: bool

    def allowing(self, pair: Ground | None, *, abreast: bool) -> Ground | None:
        """The ground, if the facing pair at the pass (None: there is none) lets it stand.

        Where blocks meet it takes a pair that agrees, with both its marks `abreast`.
        """
        if pair is not None and pair.sense is not self.ground.sense:
            return None
        return self.ground if self.firm or (pair is not None and abreast) else None


def edge_grounds(met: Sequence[Minimum], kinds: Mapping[int, MarkKind]) -> dict[Minimum, Edges]:
    """What the rows of marks on either side say at each pass; those that say nothing are left
    out. `met` in any order; `kinds` by mark."""
    plain = [m for m in met if m.passed and kinds.get(m.mark) in _LEFT_WITH]
    plain.sort(key=lambda m: (m.route_along_m, m.mark))
    blocks = _blocks(plain, kinds)
    beside = [_around_odd_one(blocks, number, kinds) for number in range(len(blocks))]
    found: dict[Minimum, Edges] = {}
    for number, block in enumerate(blocks):
        if beside[number]:
            ground = _ground(blocks[number - 1].sense, beside[number], kinds)
            found |= dict.fromkeys(block.passes, Edges(ground=ground, firm=True))
        elif _both_edges(block.passes, kinds):
            ground = _ground(block.sense, block.passes, kinds)
            turns = []
            for other, end in ((number - 1, block.passes[0]), (number + 1, block.passes[-1])):
                inside = 0 <= other < len(blocks)
                if inside and not beside[other] and blocks[other].sense is not block.sense:
                    turns.append(end)
            for one in block.passes:
                found[one] = Edges(ground=ground, firm=one not in turns)
    return found


def _around_odd_one(
    blocks: Sequence[_Block], number: int, kinds: Mapping[int, MarkKind]
) -> tuple[Minimum, ...]:
    """The passes on either side of a single mark's, once or several times round it, that disagree
    with both; () where it is not so."""
    odd = blocks[number].passes
    if not 0 < number < len(blocks) - 1 or len({m.mark for m in odd}) > 1:
        return ()
    before, after = blocks[number - 1], blocks[number + 1]
    beside = (*before.passes[-3:], *after.passes[:3])
    near = all(abs(m.route_along_m - o.route_along_m) <= _GAP_M for m in beside for o in odd)
    enough = min(len(before.passes), len(after.passes)) >= _BESIDE
    # Blocks with no gap between them differ in sense, so that those on either side agree.
    return beside if near and enough and _both_edges(beside, kinds) else ()


def _blocks(plain: Sequence[Minimum], kinds: Mapping[int, MarkKind]) -> list[_Block]:
    made: list[_Block] = []
    held: list[Minimum] = []
    held_sense: Sense | None = None
    for one in plain:
        to_starboard = one.cross_m >= 0.0
        sense = Sense.WITH if to_starboard is _LEFT_WITH[kinds[one.mark]] else Sense.AGAINST
        gap = bool(held) and one.route_along_m - held[-1].route_along_m > _GAP_M
        if held_sense is not None and (sense is not held_sense or gap):
            made.append(_Block(sense=held_sense, passes=tuple(held)))
            held = []
        held.append(one)
        held_sense = sense
    if held_sense is not None:
        made.append(_Block(sense=held_sense, passes=tuple(held)))
    return made


def _both_edges(passes: Sequence[Minimum], kinds: Mapping[int, MarkKind]) -> bool:
    hands = [kinds[m.mark] for m in passes]
    return all(hands.count(hand) >= _EACH_HAND for hand in _LEFT_WITH)


def _ground(sense: Sense, passes: Sequence[Minimum], kinds: Mapping[int, MarkKind]) -> Ground:
    port_hand = sum(kinds[m.mark] is MarkKind.PORT_HAND for m in passes)
    side, other = ("port", "starboard") if sense is Sense.WITH else ("starboard", "port")
    return Ground(
        kind=GroundKind.EDGES,
        sense=sense,
        text=f"{port_hand} port-hand marks stand to {side} of the track and "
        f"{len(passes) - port_hand} starboard-hand marks to {other}, one after the other",
    )
