"""Where to turn the crank: few positions, little turning, every cap in reach."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.engine.layout import Layout, LayoutKind, Throw
from oilwedge.usecases.planning.crank import (
    Turn,
    cap_positions_deg,
    plan_crank,
    plan_tops,
    shortest_route,
    unmeasured_crank,
)


def layout(
    *,
    throws: tuple[Throw, ...],
    kind: LayoutKind = LayoutKind.IN_LINE,
    banks: tuple[float, ...] | None = None,
) -> Layout:
    cylinders = sum(len(throw.rods) for throw in throws)
    return Layout(
        kind=kind,
        cylinders=cylinders,
        firing_order=tuple(range(1, cylinders + 1)),
        throws=throws,
        bank_angle_deg=banks or (0.0,) * cylinders,
        main_bearings=len(throws) + 1,
    )


def in_line(*angles: float) -> Layout:
    return layout(throws=tuple(Throw(angle_deg=a, rods=(i + 1,)) for i, a in enumerate(angles)))


def arc(a: float, b: float) -> float:
    return abs((b - a + 180) % 360 - 180)


def least_turning_by_trying_every_order(stops: list[float]) -> float:
    return min(
        sum(arc(a, b) for a, b in itertools.pairwise((0.0, *order)))
        for order in itertools.permutations(stops)
    )


ANGLES = st.one_of(
    st.sampled_from([0.0, 30, 45, 60, 72, 90, 120, 144, 180, 216, 240, 270, 288, 300, 330]),
    st.floats(0, 359.9).map(lambda x: round(x, 1)),
)


@given(st.lists(ANGLES, min_size=1, max_size=6))
def test_no_order_turns_the_crank_less(stops: list[float]) -> None:
    route = shortest_route(stops)
    assert sorted(route.order) == list(range(len(stops)))
    assert route.total_deg == pytest.approx(least_turning_by_trying_every_order(stops), abs=1e-6)


@given(st.lists(ANGLES, min_size=1, max_size=8))
def test_the_turns_lead_to_the_stops(stops: list[float]) -> None:
    route = shortest_route(stops)
    here = 0.0
    for stop, turn in zip(route.order, route.turns_deg, strict=True):
        here += turn
        assert arc(here, stops[stop]) == pytest.approx(0, abs=1e-5)


def fewest_groups_by_trying_all(caps: list[float], span: float) -> int:
    """Cover points of a circle with arcs: some best cover starts each of its arcs at a point."""
    for count in range(1, len(caps) + 1):
        for starts in itertools.combinations(caps, count):
            if all(any((c - s) % 360 <= span + 1e-6 for s in starts) for c in caps):
                return count
    raise AssertionError("each point by itself is a cover")


@given(st.lists(ANGLES, min_size=1, max_size=7), st.sampled_from([0.0, 15.0, 30.0, 45.0]))
def test_no_grouping_has_fewer_positions_and_every_cap_is_in_reach(
    angles: list[float], reach: float
) -> None:
    engine = in_line(*angles)
    caps = list(cap_positions_deg(engine))
    plan = plan_crank(engine, reach_deg=reach)
    assert len(plan.positions) == fewest_groups_by_trying_all(caps, 2 * reach)
    assert sorted(r for p in plan.positions for r in p.rods) == list(range(1, len(angles) + 1))
    for position in plan.positions:
        for rod in position.rods:
            assert arc(position.position_deg, caps[rod - 1]) <= position.offset_deg + 1e-5
        assert position.offset_deg <= reach + 1e-5


# Textbook arrangements of throws: common practice, no source.
def test_an_in_line_four_needs_two_positions() -> None:
    plan = plan_crank(in_line(0, 180, 180, 0))
    assert [p.rods for p in plan.positions] == [(2, 3), (1, 4)]
    assert [p.turn for p in plan.positions] == [Turn.NONE, Turn.NORMAL]
    assert plan.total_turn_deg == pytest.approx(180)


def test_an_in_line_three_needs_three_positions() -> None:
    plan = plan_crank(in_line(0, 240, 120))
    assert len(plan.positions) == 3
    from_first_to_last = plan.total_turn_deg - plan.positions[0].turn_deg
    assert from_first_to_last == pytest.approx(240)
    assert plan.total_turn_deg == pytest.approx(300)
    assert {p.turn for p in plan.positions} == {Turn.NORMAL}


def test_a_throw_that_leads_comes_round_sooner() -> None:
    """Turned on by p, the throw at a stands at a + p; it is down when that is 180 or 540."""
    assert cap_positions_deg(in_line(0, 240, 120)) == pytest.approx((180, 540 - 240, 180 - 120))


def test_an_in_line_six_pairs_its_rods() -> None:
    plan = plan_crank(in_line(0, 240, 120, 120, 240, 0))
    assert {p.rods for p in plan.positions} == {(1, 6), (2, 5), (3, 4)}


def test_an_in_line_five_needs_five_positions() -> None:
    assert len(plan_crank(in_line(0, 144, 216, 288, 72)).positions) == 5


def test_a_narrow_v_twin_on_one_pin_is_reached_in_one_position() -> None:
    engine = layout(
        throws=(Throw(angle_deg=0, rods=(1, 2)),), kind=LayoutKind.V, banks=(-26.0, 26.0)
    )
    assert cap_positions_deg(engine) == pytest.approx((180, 232))
    (position,) = plan_crank(engine).positions
    assert position.rods == (1, 2)
    assert position.position_deg == pytest.approx(206)
    assert position.offset_deg == pytest.approx(26)


def test_a_square_v_eight_with_a_cross_plane_crank_needs_four_positions() -> None:
    engine = layout(
        throws=tuple(
            Throw(angle_deg=a, rods=(2 * i + 1, 2 * i + 2)) for i, a in enumerate((0, 90, 270, 180))
        ),
        kind=LayoutKind.V,
        banks=(-45.0, 45.0) * 4,
    )
    plan = plan_crank(engine)
    assert len(plan.positions) == 4
    assert all(len(p.rods) == 2 for p in plan.positions)
    assert plan.total_turn_deg == pytest.approx(270)


def test_a_flat_twin_with_opposed_pins_has_both_caps_out_at_once() -> None:
    engine = layout(
        throws=(Throw(angle_deg=0, rods=(1,)), Throw(angle_deg=180, rods=(2,))),
        kind=LayoutKind.FLAT,
        banks=(-90.0, 90.0),
    )
    assert len(plan_crank(engine).positions) == 1


def test_equal_ways_round_take_the_normal_direction() -> None:
    assert shortest_route([180.0]).turns_deg == (180.0,)


def test_reach_of_a_right_angle_is_refused() -> None:
    with pytest.raises(ValueError, match="from 0 to under 90"):
        plan_crank(in_line(0), reach_deg=90)


def test_the_drawing_numbers_every_bearing() -> None:
    drawing = unmeasured_crank(in_line(0, 180, 180, 0))
    assert [m.label for m in drawing.mains] == ["1", "2", "3", "4", "5"]
    assert [r.label for t in drawing.throws for r in t.rods] == ["1", "2", "3", "4"]


def test_pistons_come_up_in_pairs_on_an_in_line_four() -> None:
    tops = plan_tops(in_line(0, 180, 180, 0))
    assert [p.rods for p in tops.positions] == [(1, 4), (2, 3)]
