"""The limits of an engine on a page of their own, away from where readings are written."""

from __future__ import annotations

from oilwedge.engine.model import Engine
from oilwedge.report.document import Block, Column, Heading, PageBreak, Paragraph, Row, Table, Text
from oilwedge.usecases.planning.instruments import nominal_of
from oilwedge.usecases.planning.words import length_text, limits_text, range_text


def limits_page(*, engine: Engine, unit: str) -> list[Block]:
    """A page with every limit and size that the engine file gives, and where it comes from."""
    return [
        PageBreak(),
        Heading(level=1, text="Limits, for afterwards"),
        Paragraph(text="Turn to this page when the readings are written down."),
        Table(
            columns=(
                Column(title="Fit", width_weight=2),
                Column(title="Limits", width_weight=3),
                Column(title="From", width_weight=2.4),
            ),
            rows=tuple(_limit_rows(engine, unit)),
        ),
        Table(
            columns=(
                Column(title="Size", width_weight=2),
                Column(title="As the engine file gives it", width_weight=3),
            ),
            rows=tuple(_size_rows(engine, unit)),
        ),
    ]


def _limit_rows(engine: Engine, unit: str) -> list[Row]:
    rows = []
    for fit in engine.fits.values():
        for title, one in [
            (fit.title, fit),
            *((fit.label(number), fit.at(number)) for number in sorted(fit.exceptions)),
        ]:
            if one.has_limits:
                cells = (
                    Text(text=title),
                    Text(text=limits_text(one, unit)),
                    Text(text=one.limits_from),
                )
                rows.append(Row(cells=cells))
    return rows or [Row(cells=(Text(text="none"), Text(text="no limits given"), Text(text="")))]


def _size_rows(engine: Engine, unit: str) -> list[Row]:
    rows = []
    for feature in engine.features.values():
        nominal = nominal_of(feature)
        if nominal is None:
            continue
        size = range_text(feature.low_m, feature.high_m, unit) or length_text(nominal, unit)
        rows.append(Row(cells=(Text(text=feature.title), Text(text=size))))
    return rows or [Row(cells=(Text(text="none"), Text(text="no sizes given")))]
