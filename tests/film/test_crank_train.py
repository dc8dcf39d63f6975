"""Layouts and firing orders: what follows from them, and what does not fit."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from oilwedge.errors import InputError
from oilwedge.film.crank_train import (
    CrankTrain,
    Layout,
    even_places,
    firing_angles_by_intervals,
    firing_angles_rad,
)
from oilwedge.film.gas_pressure import Strokes


def layout(
    throws: Sequence[float],
    *,
    banks: Sequence[float] = (),
    on_throw: Sequence[int] = (),
    strokes: Strokes = Strokes.FOUR,
) -> Layout:
    count = len(banks) or len(throws)
    return Layout(
        strokes=strokes,
        throw_angle_rad=tuple(map(math.radians, throws)),
        bank_angle_rad=tuple(map(math.radians, banks or [0.0] * count)),
        throw_of_cylinder=tuple(on_throw) or tuple(range(count)),
    )


def fires(found: Layout, order: Sequence[int]) -> list[float]:
    angles = firing_angles_rad(layout=found, firing_order=[one - 1 for one in order])
    return [math.degrees(angle) for angle in angles]


FOUR = layout([0, 180, 180, 0])
THREE = layout([0, 240, 120])
SIX = layout([0, 240, 120, 120, 240, 0])
V_TWIN = layout([0], banks=[26, -26], on_throw=[0, 0])
CROSS_V8 = layout(
    [0, 90, 270, 180],
    banks=[45, -45, 45, -45, 45, -45, 45, -45],
    on_throw=[0, 0, 1, 1, 2, 2, 3, 3],
)


@pytest.mark.parametrize(
    ("found", "order", "degrees"),
    [
        # by hand: a cylinder's top dead centre is at bank less throw, and fires when its turn comes
        (FOUR, [1, 3, 4, 2], [0, 540, 180, 360]),
        (FOUR, [1, 2, 4, 3], [0, 180, 540, 360]),
        (SIX, [1, 5, 3, 6, 2, 4], [0, 480, 240, 600, 120, 360]),
        (V_TWIN, [1, 2], [26, 334]),
        (layout([0, 0]), [1, 2], [0, 360]),
        (layout([0, 180], banks=[90, -90]), [1, 2], [90, 450]),
        (layout([0, 180]), [1, 2], [0, 180]),
    ],
)
def test_firing_angles_follow_from_the_order(
    found: Layout, order: list[int], degrees: list[float]
) -> None:
    got = fires(found, order)
    assert got == pytest.approx(degrees)


def test_a_three_fires_evenly_in_the_order_that_its_throws_allow() -> None:
    # throws 0, 240, 120: in the order 1-3-2 the firings are 240° apart
    assert fires(THREE, [1, 3, 2]) == pytest.approx([0, 480, 240])


def test_a_cross_plane_v8_fires_every_quarter_turn() -> None:
    # common practice, no source: odd cylinders on the right seen from the front, pins 0-90-270-180
    order = [1, 8, 4, 3, 6, 5, 7, 2]
    found = sorted(fires(CROSS_V8, order))
    np.testing.assert_allclose(np.diff(found), 90.0)


@pytest.mark.parametrize(
    ("found", "order", "words"),
    [
        (FOUR, [1, 3, 2, 4], "firing order 1-3-2-4.*does not fit the layout: cylinder 4"),
        (FOUR, [1, 2, 3, 4], "does not fit"),
        (FOUR, [1, 3, 4], "each of the 4 cylinders once"),
        (FOUR, [1, 3, 3, 2], "each of the 4 cylinders once"),
    ],
)
def test_an_order_that_the_crank_cannot_fire_is_refused(
    found: Layout, order: list[int], words: str
) -> None:
    with pytest.raises(InputError, match=words):
        fires(found, order)


def test_a_two_stroke_flat_twin_fires_both_at_once() -> None:
    flat = layout([0, 180], banks=[90, -90], strokes=Strokes.TWO)
    assert fires(flat, [1, 2]) == pytest.approx([90, 90])


def by_intervals(found: Layout, order: Sequence[int], degrees: Sequence[float]) -> list[float]:
    angles = firing_angles_by_intervals(
        layout=found,
        firing_order=[one - 1 for one in order],
        interval_rad=[math.radians(one) for one in degrees],
    )
    return [math.degrees(angle) for angle in angles]


def test_intervals_give_the_same_and_tell_a_pair_that_fires_close_together() -> None:
    assert by_intervals(FOUR, [1, 3, 4, 2], [180] * 4) == pytest.approx([0, 540, 180, 360])
    assert by_intervals(V_TWIN, [1, 2], [308, 412]) == pytest.approx([26, 334])
    assert by_intervals(V_TWIN, [1, 2], [668, 52]) == pytest.approx([26, 694])
    # typed to a degree, the top dead centres stay exact
    assert by_intervals(V_TWIN, [1, 2], [308.4, 411.6]) == pytest.approx([26, 334], abs=1e-9)


@pytest.mark.parametrize(
    ("degrees", "words"),
    [
        ([180, 180, 180, 170], "add up to 710°'; they add up to one cycle, 720°"),
        ([180, 180, 360], "one interval to each of the 4 firings"),
        ([190, 170, 180, 180], "does not fit the layout"),
        ([-180, 540, 180, 180], "none negative"),
    ],
)
def test_intervals_that_miss_the_crank_are_refused(degrees: list[float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        by_intervals(FOUR, [1, 3, 4, 2], degrees)


def test_an_offset_moves_the_firing_with_the_top_dead_centre() -> None:
    found = Layout(
        strokes=Strokes.FOUR,
        throw_angle_rad=(0.0,),
        bank_angle_rad=(0.0,),
        throw_of_cylinder=(0,),
        top_angle_rad=(0.05,),
    )
    assert firing_angles_rad(layout=found, firing_order=[0]) == pytest.approx((0.05,))


def test_even_places_put_the_throws_between_the_mains() -> None:
    throws, mains = even_places(layout=FOUR, main_bearings=5, spacing_m=0.1)
    np.testing.assert_allclose(throws, [0.05, 0.15, 0.25, 0.35])
    np.testing.assert_allclose(mains, [0.0, 0.1, 0.2, 0.3, 0.4])
    throws, _ = even_places(layout=FOUR, main_bearings=3)
    np.testing.assert_allclose(throws, [1 / 3, 2 / 3, 4 / 3, 5 / 3])
    with pytest.raises(InputError, match="share the bays"):
        even_places(layout=FOUR, main_bearings=4)


def test_arrays_that_do_not_fit_each_other_are_refused() -> None:
    with pytest.raises(InputError, match="each cylinder has one bank angle and one throw"):
        layout([0, 180], banks=[0, 0], on_throw=[0])
    with pytest.raises(InputError, match="throw 2"):
        layout([0, 180], banks=[0, 0], on_throw=[0, 0])
    with pytest.raises(InputError, match="known angles"):
        layout([math.nan])
    with pytest.raises(InputError, match="two at least"):
        train_of(mains=(0.0,))
    with pytest.raises(InputError, match="front to the rear"):
        train_of(mains=(1.0, 0.0))
    with pytest.raises(InputError, match="2 places of rods"):
        train_of(rods=(0.5, 0.5))


def train_of(*, mains: tuple[float, ...] = (0.0, 1.0), rods: tuple[float, ...] = (0.5,)) -> object:
    return CrankTrain(
        layout=layout([0]),
        firing_angle_rad=(0.0,),
        rod_place_m=rods,
        throw_place_m=(0.5,),
        main_place_m=mains,
    )
