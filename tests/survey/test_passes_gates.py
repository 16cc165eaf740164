"""Gates, edges and partners as the passes of a whole route hold them."""

from __future__ import annotations

import pytest

from routecheck.model.objects import MarkKind
from routecheck.survey.corridors import corridors
from routecheck.survey.passes import mark_passes
from tests.buoys import charts, mark, met, route, zone

P, S = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND
PAIR = [mark((-150.0, 0.0), P, "left"), mark((150.0, 0.0), S, "right")]


@pytest.mark.parametrize("east_m", [0.0, 400.0, -400.0])
def test_a_pair_that_is_crossed_is_no_other_channels(east_m: float) -> None:
    """Also where one of the marks is further off than the pair is wide."""
    for one in met([(east_m, -2000.0), (east_m, 2000.0)], charts(PAIR)):
        assert one.gate is not None and one.other_channel == ""


def test_a_pair_crossed_aslant_is_no_gate() -> None:
    for one in met([(-1500.0, -1000.0), (1500.0, 1000.0)], charts(PAIR)):
        assert one.gate is None


def test_by_it_well_off_and_back_through_it() -> None:
    back = [(560.0, -800.0), (560.0, 500.0), (0.0, 500.0), (0.0, -800.0)]
    found = met(back, charts(PAIR))
    assert {(p.leg, p.gate is not None) for p in found if p.leg != 2} == {(1, False), (3, True)}


def test_a_partner_out_of_reach_and_known_by_its_colours_alone() -> None:
    marks = [
        mark((-500.0, 0.0), MarkKind.LATERAL, "", colours=("red",)),
        mark((500.0, 0.0), MarkKind.LATERAL, "", colours=("green",)),
    ]
    (near,) = met([(600.0, -2000.0), (600.0, 2000.0)], charts(marks, [zone(0.0, "A")]))
    assert near.kind is S and near.gate is not None and not near.gate.between


def test_legs_of_different_widths() -> None:
    """The widest says how far edges and dangers reach."""
    legs = route([(-2000.0, 880.0), (600.0, 880.0), (600.0, 3000.0)])
    edge = [mark((0.0, 0.0), P, "Reach 3"), mark((0.0, 1790.0), P, "Reach 5")]
    both = corridors(legs, ((50.0, 50.0), (900.0, 900.0)))
    (one,) = mark_passes(both, charts(edge), far_m=740.0)[2]
    assert len(one.edges) == 1
    wide = corridors(legs, ((50.0, 50.0), (2000.0, 2000.0)))
    danger = mark((2615.0, 2500.0), MarkKind.ISOLATED_DANGER, floating=True)
    assert len(mark_passes(wide, charts([danger]), far_m=740.0)[2]) == 1


@pytest.mark.parametrize(("end_m", "other"), [(100.0, "Reach 2"), (900.0, "")])
def test_a_mark_of_another_channels_pair_makes_no_staggered_gate(end_m: float, other: str) -> None:
    """A track inside the other edge of the mark's run, along from south to `end_m` north of the
    mark. The mark faces a nearer one north-east of it, 242 m off, and their line, prolonged by its
    own length, is met 367 m north. Short of it, the pair is another channel's, and the mark with
    it; beyond it, it is this channel's own, not abreast, and the other edge makes the gate."""
    marks = [
        mark((0.0, 0.0), P, "Reach 5"),
        mark((150.0, 190.0), S, "Reach 2"),
        mark((400.0, -1000.0), S, "Reach 4"),
        mark((400.0, 1000.0), S, "Reach 6"),
    ]
    found = met([(290.0, -2000.0), (290.0, end_m)], charts(marks))
    (one,) = [p for p in found if p.mark.name == "Reach 5"]
    assert (one.other_channel, one.gate is None) == (other, bool(other))
    if one.gate is not None:
        assert {one.gate.partner_name, one.gate.edge_name} == {"Reach 4", "Reach 6"}
