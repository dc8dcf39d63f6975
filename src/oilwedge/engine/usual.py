"""Throw angles and firing orders that are usual for a layout (common practice, no source)."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.engine.layout import LayoutKind


@dataclass(frozen=True, kw_only=True, slots=True)
class UsualLayout:
    """A proposal: to be checked against the engine. ``known`` False: a stand-in, not a proposal."""

    firing_order: tuple[int, ...]
    throw_angles_deg: tuple[float, ...]
    main_bearings: int
    v_angle_deg: float | None = None
    known: bool = True


_KINDS = LayoutKind
_USUAL = {
    (_KINDS.IN_LINE, 1): UsualLayout(firing_order=(1,), throw_angles_deg=(0.0,), main_bearings=2),
    (_KINDS.IN_LINE, 2): UsualLayout(
        firing_order=(1, 2), throw_angles_deg=(0.0, 0.0), main_bearings=3
    ),
    (_KINDS.IN_LINE, 3): UsualLayout(
        firing_order=(1, 2, 3), throw_angles_deg=(0.0, 120.0, 240.0), main_bearings=4
    ),
    (_KINDS.IN_LINE, 4): UsualLayout(
        firing_order=(1, 3, 4, 2), throw_angles_deg=(0.0, 180.0, 180.0, 0.0), main_bearings=5
    ),
    (_KINDS.IN_LINE, 5): UsualLayout(
        firing_order=(1, 2, 4, 5, 3),
        throw_angles_deg=(0.0, 216.0, 144.0, 72.0, 288.0),
        main_bearings=6,
    ),
    (_KINDS.IN_LINE, 6): UsualLayout(
        firing_order=(1, 5, 3, 6, 2, 4),
        throw_angles_deg=(0.0, 240.0, 120.0, 120.0, 240.0, 0.0),
        main_bearings=7,
    ),
    (_KINDS.V, 2): UsualLayout(
        firing_order=(1, 2), throw_angles_deg=(0.0,), main_bearings=2, v_angle_deg=90.0
    ),
    (_KINDS.V, 8): UsualLayout(
        firing_order=(1, 8, 4, 3, 6, 5, 7, 2),
        throw_angles_deg=(0.0, 90.0, 270.0, 180.0),
        main_bearings=5,
        v_angle_deg=90.0,
    ),
    (_KINDS.FLAT, 2): UsualLayout(
        firing_order=(1, 2), throw_angles_deg=(0.0, 180.0), main_bearings=3
    ),
    (_KINDS.FLAT, 4): UsualLayout(
        firing_order=(1, 3, 2, 4), throw_angles_deg=(0.0, 180.0, 180.0, 0.0), main_bearings=5
    ),
}


_TWO_STROKE_TWIN = UsualLayout(
    firing_order=(1, 2), throw_angles_deg=(0.0, 180.0), main_bearings=3
)  # one fires every half turn


def usual_layout(*, kind: LayoutKind, cylinders: int, strokes: int = 4) -> UsualLayout:
    """The usual layout, or a stand-in with cylinders in order where none is usual."""
    found = _USUAL.get((kind, cylinders))
    if strokes == 2 and kind is LayoutKind.IN_LINE and cylinders > 1:
        # An in-line two-stroke with a throw for each even step of one turn; the throw angles of
        # a four-stroke of four cylinders or more would fire two at once.
        found = _TWO_STROKE_TWIN if cylinders == 2 else found if cylinders == 3 else None
    if found is not None:
        return found
    throws = cylinders // 2 if kind is LayoutKind.V and cylinders % 2 == 0 else cylinders
    return UsualLayout(
        firing_order=tuple(range(1, cylinders + 1)),
        throw_angles_deg=tuple(round(360.0 * at / throws, 3) for at in range(throws)),
        main_bearings=throws + 1,
        v_angle_deg=90.0 if kind is LayoutKind.V else None,
        known=False,
    )
