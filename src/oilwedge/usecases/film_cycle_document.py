"""The films of an engine for a person to read: sentences first, then the numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from oilwedge.report.document import (
    Align,
    Block,
    Column,
    Document,
    Heading,
    KeyValues,
    Paragraph,
    Row,
    Table,
    Text,
)
from oilwedge.units import format_number
from oilwedge.usecases.film_cycle_answer import BearingFilm, EngineFilm
from oilwedge.usecases.film_cycle_words import (
    NOT_OVERRULED,
    ROUND_PARTS,
    film_text,
    percent_change,
)
from oilwedge.usecases.length_face import LengthFace

if TYPE_CHECKING:
    from oilwedge.film.virtual_builds import Band

__all__ = ["film_cycle_document", "torque_words"]

NONE = "–"
NO_BREAK = "\N{NO-BREAK SPACE}"
L_MIN_PER_M3_S = 60_000.0
HOW_TO_READ = (
    "Cold: the measured mean clearance at 20 °C. Film: the thinnest of the cycle, in µm. Could be:"
    " the middle 95 % of the engines that readings, oil and duty could mean; < where its lower end"
    " lies under what can be computed. A ? before a film: no figure to lean on, as the sentences"
    " say. Middle: the film of the same bearing with its clearance in the middle of the build"
    " limits, and by how much this one differs from it. Under: the share of the cycle with less"
    " film than that. Film ratio: film over the roughness of both surfaces together; over 3 a full"
    " film, under 1 the surfaces touch (a habit of thought, no law).",
    "At: the crank angle of the thinnest film, from the firing of its own cylinder for a big end,"
    " of the first in the firing order for a main bearing. Hot: diametral clearance of the parts as"
    " warm as they run. Film, °C: mean temperature of the film, from friction and the fresh oil of"
    " the cycle. Load: the largest of the cycle. Peak: the largest pressure in the film.",
)


def film_cycle_document(films: Sequence[EngineFilm], *, face: LengthFace) -> Document:
    """One part a condition: what it comes to, film beside film, then heat, load and oil."""
    blocks: list[Block] = []
    for film in films:
        blocks += _condition(film, face=face)
    if any(film.bearings for film in films):
        blocks.append(Heading(level=2, text="How to read the tables"))
        blocks += [Paragraph(text=text) for text in HOW_TO_READ]
    blocks.append(Heading(level=2, text="What it means, and what not"))
    blocks.append(Paragraph(text=f"{NOT_OVERRULED} {ROUND_PARTS}"))
    blocks.append(Heading(level=2, text="What it rests on"))
    told = [
        text for film in films for text in (film.oil_words, *film.notes, *film.assumptions) if text
    ]
    blocks += [Paragraph(text=text) for text in dict.fromkeys(told)]
    return Document(
        title=f"Oil films over a cycle, {films[0].engine.name}",
        subtitle=f"As measured, with {films[0].oil_name}",
        blocks=tuple(blocks),
    )


def _condition(film: EngineFilm, *, face: LengthFace) -> Iterator[Block]:
    condition = film.condition
    yield Heading(
        level=2,
        text=f"{_capital(condition.name)}: {condition.speed_rpm or 0.0:.0f} rpm, oil in at"
        f" {film.supply_temperature_c:g} °C",
    )
    for sentence in film.sentences:
        yield Paragraph(text=sentence)
    if film.bearings:
        yield _film_table(film, face=face)
        yield _running_table(film)
    yield KeyValues(pairs=(("Torque over the cycle", torque_words(film)),))
    if film.bearings:
        yield Heading(level=3, text=f"Bearing by bearing at {condition.name}")
        for one in film.bearings:
            yield Paragraph(text=one.sentence)


def torque_words(film: EngineFilm) -> str:
    """Mean torque over the cycle, least and most, of gas and masses on the crank."""
    torque, angle = film.loads.torque_n_m, film.loads.angle_rad
    mean = float(np.trapezoid(torque, angle)) / float(angle[-1] - angle[0])
    least, most = _figure(float(torque.min())), _figure(float(torque.max()))
    return f"mean {_figure(mean)} N m, from {least} to {most} N m".replace("-", "−")


def _film_table(film: EngineFilm, *, face: LengthFace) -> Table:
    columns = (
        Column(title="bearing"),
        Column(title=f"cold, {face.unit}", align=Align.RIGHT),
        Column(title="film, µm", align=Align.RIGHT),
        Column(title="could be", align=Align.RIGHT),
        Column(title="middle", align=Align.RIGHT),
        Column(title="differs", align=Align.RIGHT),
        Column(title=f"under {film_text(film.chosen_film_m)}", align=Align.RIGHT),
        Column(title="film ratio", align=Align.RIGHT),
    )
    rows = [_film_row(one, face=face) for one in film.bearings]
    rows += [
        _row(_short(one.title), NONE, NONE, NONE, NONE, NONE, NONE, NONE) for one in film.left_out
    ]
    return Table(columns=columns, rows=tuple(rows))


def _film_row(one: BearingFilm, *, face: LengthFace) -> Row:
    film, middle, change = one.film, one.at_mid_limit, one.change_from_mid_limit
    ratio = NONE
    if film.film_ratio is not None and film.regime is not None:
        regime = film.regime.value.removesuffix(" film")
        ratio = f"{_figure(film.film_ratio)} {regime}".replace(" ", NO_BREAK)
    return _row(
        _short(one.load.title),
        face.length(one.cold_clearance_m).removesuffix(face.unit).strip(),
        f"{'' if one.stands else '? '}{_bare(one.minimum_film_m)}",
        NONE if one.band is None else interval_text(one.band.minimum_film_m),
        NONE if middle is None else _bare(middle.orbit.minimum_film_m),
        NONE if change is None else percent_change(change),
        f"{film.share_below_chosen * 100:.0f} %",
        ratio,
    )


def interval_text(band: Band) -> str:
    """The band in µm without its unit, for a table: "< 0.9 to 1.7" where its end is a bound."""
    span = f"{_bare(band.low)} to {_bare(band.high)}"
    return f"< {span}" if band.low_is_bound else span


def _running_table(film: EngineFilm) -> Table:
    columns = (
        Column(title="bearing"),
        Column(title="at", align=Align.RIGHT),
        Column(title="hot, µm", align=Align.RIGHT),
        Column(title="film, °C", align=Align.RIGHT),
        Column(title="friction, W", align=Align.RIGHT),
        Column(title="oil, l/min", align=Align.RIGHT),
        Column(title="load, kN", align=Align.RIGHT),
        Column(title="peak, MPa", align=Align.RIGHT),
    )
    rows = [_running_row(one) for one in film.bearings]
    return Table(columns=columns, rows=tuple(rows))


def _running_row(one: BearingFilm) -> Row:
    film = one.film
    return _row(
        _short(one.load.title),
        f"{math.degrees(film.orbit.minimum_film_angle_rad):.0f}°",
        format_number(value=film.hot_clearance_m * 1e6, decimals=0),
        f"{film.film_temperature_c:.0f}",
        _figure(film.mean_friction_power_w),
        format_number(value=film.oil_flow_m3_s * L_MIN_PER_M3_S, decimals=2),
        format_number(value=one.load.largest_n * 1e-3, decimals=1),
        _figure(film.orbit.peak_pressure_pa * 1e-6),
    )


def _row(*texts: str) -> Row:
    return Row(cells=tuple(Text(text=text) for text in texts))


def _short(title: str) -> str:
    """As a line of a table names it, in one piece."""
    return title.replace("main bearing", "main").replace(" ", NO_BREAK)


def _bare(film_m: float) -> str:
    return film_text(film_m).removesuffix(" µm")


def _figure(value: float) -> str:
    """About three digits."""
    size = abs(value)
    return format_number(value=value, decimals=0 if size >= 99.95 else 1 if size >= 0.995 else 2)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
