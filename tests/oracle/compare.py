"""Both sides of one world held against each other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.oracle.allowed import why_not
from tests.oracle.judge import Claim, Oracle
from tests.oracle.package_side import Said, ask

WORDS = {0: "nothing", 1: "caution", 2: "not assessed", 3: "danger"}


@dataclass(frozen=True)
class Difference:
    """One disagreement. `kind`: "false clear", "missed object" or "false danger"."""

    kind: str
    what: str
    clock: int
    text: str


def differences(world: dict[str, Any]) -> list[Difference]:
    """All disagreements of a world, over all its clocks."""
    oracle = Oracle(world)
    return compared(oracle, ask(world), [oracle.claims(clock) for clock in world["clocks"]])


def compared(
    oracle: Oracle, answers: list[Said], claims: list[list[Claim]], *, by_object: bool = True
) -> list[Difference]:
    """The same, of both sides' answers for every clock.

    Without `by_object` legs and groups alone are compared: files give objects names of their own.
    """
    made: list[Difference] = []
    clocks = oracle.world["clocks"]
    for number, (clock, answer) in enumerate(zip(clocks, answers, strict=True)):
        missing = (_missing(claim, answer, number, by_object) for claim in claims[number])
        made += [one for one in missing if one is not None]
        for finding in answer.dangers if by_object else ():
            why = why_not(oracle, clock, finding)
            if why:
                text = f"leg {finding.leg} {finding.check} {finding.object_key}: {finding.title}"
                made.append(Difference("false danger", finding.check, number, f"{text} -- {why}"))
    return made


def _missing(claim: Claim, said: Said, clock: int, by_object: bool) -> Difference | None:
    legs = sorted(claim.legs)
    groups = claim.group.split(" or ")
    heard = max(said.worst.get((leg, group), 0) for leg in legs for group in groups)
    text = (
        f"legs {[leg + 1 for leg in legs]} {claim.group}: the oracle says {WORDS[claim.rank]} of "
        f"{claim.key or 'a place'} ({claim.text}); the package at most "
    )
    if heard < claim.rank:
        what = f"{claim.group}: {WORDS[claim.rank]}"
        return Difference("false clear", what, clock, text + WORDS[heard])
    if claim.key and by_object:
        of_it = max(said.objects.get((leg, claim.group, claim.key), 0) for leg in legs)
        if of_it < claim.rank:
            what = f"{claim.group}: {WORDS[claim.rank]}"
            return Difference("missed object", what, clock, text + f"{WORDS[of_it]} of it")
    return None
