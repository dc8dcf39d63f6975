"""A film window with round invented numbers, to be told in words and as JSON."""

from __future__ import annotations

from oilwedge.usecases.clearance_range import range_above
from oilwedge.usecases.film_window_curves import (
    ConditionWindow,
    FilmWindow,
    KindWindow,
    MeasuredClearance,
    WindowCurve,
)

CLEARANCES_M = tuple(10e-6 * n for n in range(1, 11))
FILM_M = 1e-6


def curve(*, oil: str, top_um: float, at_um: float) -> WindowCurve:
    """A hump of a film over clearance; no answer at the tightest clearance."""
    films = [max(0.05, top_um - 0.05 * abs(1e6 * c - at_um)) * 1e-6 for c in CLEARANCES_M]
    known: tuple[float | None, ...] = (None, *films[1:])
    return WindowCurve(
        oil_name=oil,
        clearances_m=CLEARANCES_M,
        minimum_films_m=known,
        temperatures_c=(None, *(110.0 + n for n in range(9))),
        friction_powers_w=(None, *(200.0 - n for n in range(9))),
        flows_m3_s=(None, *(1e-5 * n for n in range(1, 10))),
        kept=range_above(clearances_m=CLEARANCES_M, films_m=known, film_m=FILM_M),
        no_answer="the parts touch when hot",
    )


def kind(*, top_um: float = 2.0) -> KindWindow:
    """Big ends at two conditions with one oil, two of them measured."""
    return KindWindow(
        fit_key="rod_bearing",
        title="Big ends",
        low_m=20e-6,
        high_m=60e-6,
        service_m=80e-6,
        measured=(
            MeasuredClearance(title="big end 1", clearance_m=40e-6, half_width_m=4e-6),
            MeasuredClearance(title="big end 2", clearance_m=58e-6, half_width_m=4e-6),
        ),
        conditions=(
            ConditionWindow(
                name="hot idle",
                speed_rpm=800.0,
                bearing_title="big end 1",
                curves=(curve(oil="5W-30", top_um=top_um, at_um=40.0),),
            ),
            ConditionWindow(
                name="full load",
                speed_rpm=4000.0,
                bearing_title="big end 2",
                curves=(curve(oil="5W-30", top_um=2.5, at_um=50.0),),
            ),
        ),
    )


def window(*kinds: KindWindow) -> FilmWindow:
    """The window of an invented engine."""
    return FilmWindow(
        engine_name="Invented twin",
        film_m=FILM_M,
        film_from="as asked for",
        kinds=kinds or (kind(),),
        assumptions=("Journal as warm as the oil (rule of thumb).",),
    )
