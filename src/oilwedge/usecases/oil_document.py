"""An answer about an oil as a document, as JSON, and as a chart."""

from __future__ import annotations

from typing import Any

import numpy as np

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.oil import Oil, Reach
from oilwedge.report.document import (
    Align,
    Block,
    Column,
    Document,
    KeyValues,
    Paragraph,
    Row,
    Table,
    Text,
)
from oilwedge.report.oil_chart import ChartPoint, OilChart, oil_chart_svg, three_digits
from oilwedge.tables.oil_grades import EngineGrade, IsoGrade, Span
from oilwedge.usecases.oil_query import OilAnswer, OilRow

CHART_TABLE_C = (0.0, 20.0, 40.0, 60.0, 80.0, 100.0, 120.0, 150.0)
CHART_FROM_C, CHART_TO_C, CHART_POINTS = 0.0, 150.0, 61
LEAST_DRAWN_MM2_S = 0.4
MAKER_FIRST = "The engine maker's manual says which grade goes in; this does not overrule it."


def oil_document(answer: OilAnswer) -> Document:
    """The limits of the grade, a table of temperatures, and what the values rest on."""
    blocks: list[Block] = []
    limits = _limits(answer)
    if limits:
        blocks.append(KeyValues(pairs=limits))
    blocks.append(_table(answer))
    blocks += [Paragraph(text=note) for note in (*answer.notes, MAKER_FIRST)]
    return Document(title=_title(answer), blocks=tuple(blocks))


def _title(answer: OilAnswer) -> str:
    if isinstance(answer.grade, EngineGrade):
        return f"Oil SAE {answer.name}"
    return f"Oil {answer.name}" if answer.grade is not None else "Oil by its data sheet"


def _limits(answer: OilAnswer) -> tuple[tuple[str, str], ...]:
    pairs: list[tuple[str, str]] = []
    grade = answer.grade
    if isinstance(grade, EngineGrade):
        pairs += _engine_limits(grade)
    elif isinstance(grade, IsoGrade):
        low, high = grade.minimum_40c_m2_s * 1e6, grade.maximum_40c_m2_s * 1e6
        pairs.append(("40 °C, ISO 3448", f"{low:.4g} to {high:.4g} mm²/s"))
    if answer.band.measured:
        index = answer.band.oils[0]
        if 2e-6 <= index.nu100_m2_s <= 55e-6:
            pairs.append(("viscosity index", f"{index.viscosity_index():.0f}"))
    return tuple(pairs)


def _engine_limits(grade: EngineGrade) -> list[tuple[str, str]]:
    pairs = []
    winter, below = grade.winter, grade.below_100c_m2_s
    if winter is not None:
        pairs += [
            (
                f"cranking, {winter.cranking_temperature_c:g} °C",
                f"{winter.cranking_limit_pa_s * 1e3:.0f} mPa s at most",
            ),
            (
                f"pumping, {winter.pumping_temperature_c:g} °C",
                f"{winter.pumping_limit_pa_s * 1e3:.0f} mPa s at most, without yield stress",
            ),
        ]
    least = f"{grade.minimum_100c_m2_s * 1e6:.3g}"
    upper = f" to under {below * 1e6:.3g} mm²/s" if below is not None else " mm²/s or more"
    pairs.append(("100 °C", least + upper))
    fast = grade.high_shear_150c_pa_s
    if fast is not None:
        pairs.append(("150 °C, 1e6 1/s (HTHS)", f"{fast * 1e3:.2g} mPa s or more"))
    pairs.append(("limits from", f"SAE J300 ({grade.status.value})"))
    return pairs


def _table(answer: OilAnswer) -> Table:
    columns = (
        Column(title="°C", align=Align.RIGHT),
        Column(title="mm²/s", align=Align.RIGHT),
        Column(title="mPa s", align=Align.RIGHT),
        Column(title=f"mPa s at {_rate(answer.shear_rate_per_s)}", align=Align.RIGHT),
        Column(title="kg/m³", align=Align.RIGHT),
        Column(title="J/(kg K)", align=Align.RIGHT),
    )
    return Table(columns=columns, rows=tuple(_row(row) for row in answer.rows))


def _rate(per_s: float) -> str:
    text = f"{per_s:.3g}".replace("e+0", "e").replace("e+", "e")
    return f"{text} 1/s"


def _row(row: OilRow) -> Row:
    mark = "*" if row.reach is Reach.EXTRAPOLATED else ""
    cells = (
        f"{row.temperature_c:g}{mark}",
        _span(row.kinematic_m2_s, 1e6),
        _span(row.dynamic_pa_s, 1e3),
        _span(row.fast_pa_s, 1e3),
        _span(row.density_kg_m3, 1.0),
        _span(row.specific_heat_j_kg_k, 1.0),
    )
    return Row(cells=tuple(Text(text=text) for text in cells))


def _span(span: Span, factor: float) -> str:
    low, high = three_digits(span.low * factor), three_digits(span.high * factor)
    return low if low == high else f"{low} to {high}"


def oil_json(answer: OilAnswer) -> dict[str, Any]:
    """Everything in the answer, with the unit in each name; spans are low and high."""
    return {
        "oil": answer.name,
        "measured": answer.band.measured,
        "limits": dict(_limits(answer)),
        "shear_rate_per_s": answer.shear_rate_per_s,
        "rows": [
            {
                "temperature_c": row.temperature_c,
                "kinematic_mm2_s": _pair(row.kinematic_m2_s, 1e6),
                "dynamic_mpa_s": _pair(row.dynamic_pa_s, 1e3),
                "dynamic_fast_shear_mpa_s": _pair(row.fast_pa_s, 1e3),
                "density_kg_m3": _pair(row.density_kg_m3, 1.0),
                "specific_heat_j_kg_k": _pair(row.specific_heat_j_kg_k, 1.0),
                "extrapolated": row.reach is Reach.EXTRAPOLATED,
            }
            for row in answer.rows
        ],
        "notes": [*answer.notes, MAKER_FIRST],
    }


def _pair(span: Span, factor: float) -> dict[str, float]:
    return {"low": span.low * factor, "high": span.high * factor}


def oil_chart(answer: OilAnswer) -> str:
    """The chart as SVG: 0 to 150 °C on the axes of ASTM D341."""
    measured: tuple[ChartPoint, ...] = ()
    if answer.band.measured:
        ends = answer.band.oils[0].measured_c
        measured = tuple(_point(answer, one) for one in ends if CHART_FROM_C <= one <= CHART_TO_C)
    hottest = _point(answer, CHART_TO_C)
    if hottest.low_mm2_s < LEAST_DRAWN_MM2_S:
        raise OutOfRangeError(
            Fault(
                given=f"{hottest.low_mm2_s:.2g} mm²/s at {CHART_TO_C:g} °C",
                allowed="the chart's axes end at 0.4 mm²/s",
                action="ask without the chart",
            )
        )
    along = np.linspace(CHART_FROM_C, CHART_TO_C, CHART_POINTS)
    return oil_chart_svg(
        OilChart(
            title=_title(answer) + ("" if answer.band.measured else ", typical band of the grade"),
            points=tuple(_point(answer, float(one)) for one in along),
            table=tuple(_point(answer, one) for one in CHART_TABLE_C),
            measured=measured,
        )
    )


def _point(answer: OilAnswer, temperature_c: float) -> ChartPoint:
    def kinematic(oil: Oil) -> float:
        return oil.kinematic_viscosity_m2_s(temperature_c) * 1e6

    span = answer.band.span(kinematic)
    return ChartPoint(temperature_c=temperature_c, low_mm2_s=span.low, high_mm2_s=span.high)
