"""What the hull adds to its draught: squat, heel and swell, as lengths or by a formula."""

from __future__ import annotations

from routecheck.model.squat_rule import FORMULAS, SquatRule
from routecheck.nav.heel import deepest_box_draught_m
from routecheck.readers.strict import shown
from routecheck.readers.tomlfile import Table

_MOST_M = 1_000.0
_MOST_HEEL_DEG = 60.0
_HULLS = ("box", "fin")


def read_squat_rule(margins: Table, *, speed_kn: float | None) -> SquatRule | None:
    """The formula in ``squat = { formula = ..., block = ... }``, None where squat is a length.

    Raises BadInput for a formula that is not known, a coefficient out of its range, and a boat
    without a speed.
    """
    if not isinstance(margins.values.get("squat"), dict):
        return None
    table = margins.table("squat")
    assert table is not None
    table.refuse_unknown(("formula", "block", "blockage"))
    formula, block = table.text("formula"), table.number("block")
    if formula is None or block is None:
        do = 'write squat = { formula = "open", block = 0.4 }, or a length'
        raise table.bad("a formula and the block coefficient are wanted", do=do)
    if speed_kn is None:
        raise table.bad("squat by a formula needs the boat's speed", do='add speed = "6 kn"')
    try:
        return SquatRule(
            formula=formula, block_share=block, blockage_share=table.number("blockage")
        )
    except ValueError as error:
        raise table.bad(str(error), do=f"formulas: {', '.join(FORMULAS)}") from None


def read_squat_m(margins: Table, rule: SquatRule | None, *, speed_kn: float | None) -> float | None:
    """Squat as given, or by the formula at the boat's own speed; None where it is absent."""
    if rule is None:
        return margins.length_m("squat", most_m=_MOST_M)
    return rule.squat_m([speed_kn or 0.0])


def read_heel_swell_m(margins: Table, *, draught_m: float, beam_m: float | None) -> float | None:
    """Heel and swell as one length, or from ``{ heel_deg = ..., hull = ..., swell = ... }``.

    A box section is taken at its deepest angle up to the one given; a fin keel comes up as it
    heels, and nothing is taken off for that. Half the height of the swell goes below its mean.
    Raises BadInput for a hull that is not known, an angle without a hull, a box without a beam.
    """
    if not isinstance(margins.values.get("heel_swell"), dict):
        return margins.length_m("heel_swell", most_m=_MOST_M)
    table = margins.table("heel_swell")
    assert table is not None
    table.refuse_unknown(("heel_deg", "hull", "swell"))
    heel_deg, hull = table.number("heel_deg"), table.text("hull")
    swell_m = table.length_m("swell", most_m=_MOST_M)
    if (heel_deg is None) != (hull is None):
        raise table.bad("heel wants its angle and the hull", do='heel_deg = 15, hull = "box"')
    if heel_deg is None and swell_m is None:
        raise table.bad("neither heel nor swell is given", do='add swell = "1.0 m"')
    if hull is not None and hull not in _HULLS:
        wrong = f"{shown(hull)} is no hull"
        raise table.bad(wrong, key="hull", do=f"hulls: {', '.join(_HULLS)}")
    if heel_deg is not None and not 0.0 <= heel_deg <= _MOST_HEEL_DEG:
        wrong = f"{heel_deg:g} degrees is not from 0 to {_MOST_HEEL_DEG:g}"
        raise table.bad(wrong, key="heel_deg")
    heel_m = 0.0
    if hull == "box" and heel_deg is not None:
        if beam_m is None:
            raise table.bad("the heel of a box needs the boat's beam", do='add beam = "3.4 m"')
        deepest_m = deepest_box_draught_m(beam_m=beam_m, draught_m=draught_m, heel_deg=heel_deg)
        heel_m = deepest_m - draught_m
    return heel_m + (swell_m or 0.0) / 2.0
