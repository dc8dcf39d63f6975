"""What the listed instruments can resolve, said before anyone measures."""

from __future__ import annotations

import math

from oilwedge.report.document import (
    Align,
    Block,
    Column,
    Emphasis,
    Heading,
    Paragraph,
    Row,
    Table,
    Text,
)
from oilwedge.usecases.planning.instruments import Capability, WayCheck
from oilwedge.usecases.planning.plan import Plan
from oilwedge.usecases.planning.words import (
    fine_text,
    joined,
    with_article,
)

_CAPABLE = {
    Capability.ENOUGH: "enough",
    Capability.SHORT: "short",
    Capability.NO_USE: "no use",
    Capability.NOT_LISTED: "none on the list",
    Capability.NO_WINDOW: "no window",
}


def resolving_blocks(plan: Plan, unit: str) -> list[Block]:
    """The table of all ways with their room and U, and what its words mean."""
    if not plan.ways:
        return []
    return [
        Heading(level=1, text="What the listed instruments can resolve"),
        ways_table(plan, unit),
        Paragraph(
            text="Room is the most that a value can stand clear of its limits: half of the "
            "window between two limits, or the whole way from zero to one upper limit. U is "
            "the part that the instruments alone bring in (95 %, one reading at each place); "
            "temperature and the form of the parts come on top. Room should be 4 times U. "
            "Short: near a limit expect 'cannot tell'. No use: U is as wide as the room, so "
            "nothing can be shown to be right."
        ),
    ]


def ways_table(plan: Plan, unit: str) -> Table:
    """What the listed instruments can resolve: each fit with its room, a row for each way."""
    rows: list[Row] = []
    fit = ""
    for check in plan.ways:
        if check.fit != fit:
            fit = check.fit
            room = f", room ±{fine_text(check.room_m, unit)}" if check.room_m is not None else ""
            title = f"{plan.engine.fits[fit].title}{room}"
            rows.append(Row(cells=(Text(text=title),), emphasis=Emphasis.GROUP))
        rows.append(_way_row(plan, check, unit))
    return Table(
        columns=(
            Column(title="way and instruments", width_weight=3.0),
            Column(title="U", align=Align.RIGHT, width_weight=1.0),
            Column(title="can it tell?", width_weight=1.3),
        ),
        rows=tuple(rows),
    )


def _way_row(plan: Plan, check: WayCheck, unit: str) -> Row:
    titles = dict.fromkeys(one.title for one in check.instruments if one is not None)
    missing = [
        plan.engine.features[key].instrument or plan.engine.features[key].title
        for key, one in zip(check.features, check.instruments, strict=True)
        if one is None
    ]
    words = _CAPABLE[check.capability]
    if check.capability is Capability.NOT_LISTED:
        words = f"none on the list: {joined(list(dict.fromkeys(missing)))}"
    elif check.ratio is not None:
        words = f"{math.floor(check.ratio * 10) / 10:.1f}:1, {words}"  # never rounded up to pass
    expanded = check.expanded_m
    return Row(
        cells=(
            Text(text=f"{check.way.title}: {'; '.join(titles) or 'none'}"),
            Text(text=f"±{fine_text(expanded, unit)}" if expanded is not None else "unknown"),
            Text(text=words),
        )
    )


def refusal_sentences(plan: Plan, unit: str) -> tuple[str, ...]:
    """One sentence for each instrument that cannot resolve a fit; one for fits that none can."""
    refused: dict[str, dict[str, str]] = {}
    for check in plan.ways:
        for one in check.refusals:
            window = f"±{fine_text(one.room_m, unit)}"
            worst = refused.setdefault(with_article(one.instrument), {})
            worst[check.fit] = (
                f"{plan.engine.fits[check.fit].title} (room {window}, its U "
                f"±{fine_text(one.expanded_m, unit)})"
            )
    sentences = [
        f"Do not take {title} for {joined(list(fits.values()))}: it cannot resolve the limits."
        for title, fits in refused.items()
        if title != "a ruler"  # nobody would
    ]
    capable = {Capability.ENOUGH, Capability.SHORT, Capability.NO_WINDOW}
    decided = {check.fit for check in plan.ways if check.capability in capable}
    open_ = [key for key in dict.fromkeys(c.fit for c in plan.ways) if key not in decided]
    coarse = {check.fit for check in plan.ways if check.capability is Capability.NO_USE}
    for what, which, keys in (
        ("fine enough", "a finer one", [key for key in open_ if key in coarse]),
        ("of the kind and range", "one", [key for key in open_ if key not in coarse]),
    ):
        titles = [plan.engine.fits[key].title for key in keys]
        sentences += titles and [
            f"No instrument on the list is {what} for {joined(titles)}. Borrow or buy {which}, or "
            "have it measured elsewhere."
        ]
    return tuple(sentences)
