"""Film against clearance as charts: one for each kind of bearing and condition."""

from __future__ import annotations

from oilwedge.report.film_ink import WIDTH_PX
from oilwedge.report.film_window_chart import (
    HEIGHT_PX,
    MeasuredGap,
    OilLine,
    WindowChart,
    describe_window_chart,
    window_chart_svg,
)
from oilwedge.report.svg_text import svg_picture
from oilwedge.units import to_unit
from oilwedge.usecases.film_window_curves import ConditionWindow, FilmWindow, KindWindow
from oilwedge.usecases.length_face import LengthFace

__all__ = ["film_window_picture", "window_charts"]

GAP_PX = 24.0


def window_charts(
    kind: KindWindow, *, film_m: float, face: LengthFace, only: str = ""
) -> tuple[WindowChart, ...]:
    """A chart for each condition that has an answer at two clearances or more.

    ``only``: the title of the one measured bearing that is drawn; "" draws all of the kind.
    """
    return tuple(
        _chart(kind, condition, film_m=film_m, face=face, only=only)
        for condition in kind.conditions
        if any(
            sum(film is not None for film in curve.minimum_films_m) > 1
            for curve in condition.curves
        )
    )


def _chart(
    kind: KindWindow, condition: ConditionWindow, *, film_m: float, face: LengthFace, only: str
) -> WindowChart:
    def shown(value_m: float) -> float:
        return to_unit(value_si=value_m, unit=face.unit)

    def limit(value_m: float | None) -> float | None:
        return None if value_m is None else shown(value_m)

    drawn = [
        curve
        for curve in condition.curves
        if any(film is not None for film in curve.minimum_films_m)
    ]
    return WindowChart(
        title=f"{only or kind.title}, {condition.name}",
        unit=face.unit,
        decimals=face.decimals,
        clearances=tuple(shown(value) for value in condition.curves[0].clearances_m),
        oils=tuple(
            OilLine(
                name=curve.oil_name,
                films_um=tuple(
                    None if film is None else 1e6 * film for film in curve.minimum_films_m
                ),
            )
            for curve in drawn
        ),
        measured=tuple(
            MeasuredGap(
                name=one.title,
                clearance=shown(one.clearance_m),
                half_width=shown(one.half_width_m),
                on_line=one.title == condition.bearing_title,
            )
            for one in kind.measured
            if only in ("", one.title)
        ),
        low=limit(kind.low_m),
        high=limit(kind.high_m),
        service=limit(kind.service_m),
        chosen_film_um=1e6 * film_m,
    )


def film_window_picture(window: FilmWindow, *, face: LengthFace) -> str:
    """All charts on one sheet as SVG: kinds beside each other, conditions one under the other."""
    columns = [window_charts(kind, film_m=window.film_m, face=face) for kind in window.kinds]
    body, said = "", []
    for across, charts in enumerate(columns):
        for down, chart in enumerate(charts):
            place = f'<svg x="{across * (WIDTH_PX + GAP_PX):g}" y="{down * HEIGHT_PX:g}" '
            body += window_chart_svg(chart).replace("<svg ", place, 1)
            said.append(f"{chart.title}: {describe_window_chart(chart)}")
    return svg_picture(
        width=max(1, len(columns)) * (WIDTH_PX + GAP_PX) - GAP_PX,
        height=max(1, *(len(charts) for charts in columns)) * HEIGHT_PX,
        title=f"Film against clearance, {window.engine_name}",
        description=" ".join(said),
        body=body,
    )
