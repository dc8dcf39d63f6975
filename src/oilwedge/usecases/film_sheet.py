"""The oil film on the build sheet: all bearings beside each other, then a page for each bearing.

It stands after the verdicts and compares: every film stands beside that of the same bearing with
its clearance in the middle of the limits.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from oilwedge.engine.running import Groove
from oilwedge.report.document import (
    Align,
    Block,
    Column,
    Document,
    Emphasis,
    Figure,
    Heading,
    PageBreak,
    Paper,
    Paragraph,
    Row,
    Table,
    Text,
)
from oilwedge.report.figure_row import GAP_PX, figure_row
from oilwedge.report.film_angle import angle_figure
from oilwedge.report.film_comparison import comparison_figure
from oilwedge.report.film_ink import WIDTH_PX
from oilwedge.report.film_orbit import orbit_figure
from oilwedge.report.film_polar import polar_figure
from oilwedge.report.film_pressure import CAPTION as PRESSURE_CAPTION
from oilwedge.report.film_pressure import pressure_figure
from oilwedge.report.film_window_chart import CAPTION as WINDOW_CAPTION
from oilwedge.report.film_window_chart import window_figure
from oilwedge.report.plot_axis import figures_text
from oilwedge.usecases.film_cycle_document import interval_text
from oilwedge.usecases.film_data import missing_for_film
from oilwedge.usecases.film_drawings import (
    comparison_of,
    film_over_angle,
    journal_path,
    load_diagram,
    worst_pressure,
)
from oilwedge.usecases.film_window_picture import window_charts
from oilwedge.usecases.judgement import Judgement
from oilwedge.usecases.length_face import LengthFace

if TYPE_CHECKING:
    from oilwedge.film.cycle_film import CycleFilm
    from oilwedge.usecases.film_cycle_answer import BearingFilm, EngineFilm
    from oilwedge.usecases.film_window_curves import FilmWindow

__all__ = [
    "bearing_window",
    "film_basis",
    "film_blocks",
    "film_numbers",
    "film_sheet",
    "hardest",
    "hole_note",
    "no_film_sentence",
    "whose_lines",
]

COMPARES = (
    "What follows compares clearances and oils; it does not overrule the maker's limits, and no"
    " verdict on this sheet rests on it. Every film stands beside that of the same bearing with its"
    " clearance in the middle of the limits: the difference says more than the micrometres."
)
MANY_OUT = "Parts are taken as rigid, round and parallel, the oil as new and clean."
NONE = "–"
L_MIN_PER_M3_S = 60_000.0


def no_film_sentence(judgement: Judgement) -> str:
    """Why the engine file has no answer about the film, in one line; empty where it has one."""
    missing = missing_for_film(engine=judgement.engine)
    if not missing:
        return ""
    first = ", ".join(one.what for one in missing[:3])
    more = f" and {len(missing) - 3} more" if len(missing) > 3 else ""
    return (
        f"The oil film was not computed: the engine file does not say {first}{more}."
        " The command film cycle tells how to get each."
    )


def film_sheet(
    *,
    films: Sequence[EngineFilm],
    window: FilmWindow | None,
    face: LengthFace,
    paper: Paper,
    job_number: str = "",
    footer: str = "",
) -> Document:
    """The film pages as a sheet of their own."""
    name = films[0].engine.name if films else "engine"
    blocks = film_blocks(films=films, window=window, face=face)
    return Document(
        title=f"Oil films: {name}",
        subtitle="What these clearances do when the engine runs",
        paper=paper,
        job_number=job_number,
        blocks=blocks[1:] if blocks and isinstance(blocks[0], PageBreak) else blocks,
        footer=footer,
    )


def film_blocks(
    *, films: Sequence[EngineFilm], window: FilmWindow | None, face: LengthFace
) -> tuple[Block, ...]:
    """The film's part of the sheet: comparison at each condition, then bearing by bearing.

    ``films``: one for each condition; ``window``: film against clearance, None without. A bearing's
    page shows the condition that is hardest on it; a table holds the others.
    """
    return tuple(_blocks(films, window, face)) if films else ()


def _blocks(
    films: Sequence[EngineFilm], window: FilmWindow | None, face: LengthFace
) -> Iterator[Block]:
    yield PageBreak()
    yield Heading(level=1, text="The oil film when the engine runs")
    yield Paragraph(text=COMPARES)
    for film in films:
        if film.sentences:
            yield Paragraph(text=" ".join(film.sentences))
    drawn = [comparison for film in films if (comparison := comparison_of(film)) is not None]
    figures = [comparison_figure(one) for one in drawn]
    for n in range(0, len(figures), 2):
        yield _row(figures[n : n + 2], title="All bearings")
    if not figures:
        yield from film_basis(films)
        return
    yield Heading(level=2, text="How to read the drawings")
    yield Paragraph(text=f"All bearings. {figures[0].caption}")
    yield from (Paragraph(text=text) for text in _reading(films, window))
    yield from film_basis(films)
    for key in dict.fromkeys(one.load.key for film in films for one in film.bearings):
        yield from _bearing_page(key, films, window, face)


def _row(figures: Sequence[Figure], *, title: str) -> Figure:
    """Drawings beside each other; how to read them stands once, on the first page."""
    bare = [dataclasses.replace(one, caption="") for one in figures]
    return figure_row(bare, title=title, least_width_px=2.0 * WIDTH_PX + GAP_PX)


def _reading(films: Sequence[EngineFilm], window: FilmWindow | None) -> Iterator[str]:
    """What each kind of drawing shows, from the first bearing's own."""
    film = next(one for one in films if one.bearings)
    first, condition = film.bearings[0], film.condition.name
    chosen_m = film.chosen_film_m
    orbit = orbit_figure(journal_path(first, condition=condition, chosen_film_m=chosen_m))
    angle = angle_figure(film_over_angle(first, condition=condition, chosen_film_m=chosen_m))
    yield f"Journal path. {orbit.caption}"
    yield f"Film and load. {angle.caption}"
    yield f"Pressure. {PRESSURE_CAPTION}"
    if window is None:
        yield f"Load. {polar_figure(load_diagram(first.load, condition=condition)).caption}"
    else:
        yield f"Film against clearance. {WINDOW_CAPTION}"


def _bearing_page(
    key: str, films: Sequence[EngineFilm], window: FilmWindow | None, face: LengthFace
) -> Iterator[Block]:
    found = [(film, one) for film in films if (one := film.bearing(key)) is not None]
    film, one = hardest(found)
    condition, chosen_m = film.condition.name, film.chosen_film_m
    yield PageBreak()
    yield Heading(level=2, text=f"{_capital(one.load.title)}: its film at {condition}")
    if one.sentence:
        yield Paragraph(text=one.sentence)
    yield film_numbers(found, face=face)
    yield _row(
        [
            orbit_figure(journal_path(one, condition=condition, chosen_film_m=chosen_m)),
            angle_figure(film_over_angle(one, condition=condition, chosen_film_m=chosen_m)),
        ],
        title=f"{one.load.title}: path, film and load",
    )
    pressure = pressure_figure(worst_pressure(one, condition=condition))
    chart = bearing_window(one, condition=condition, window=window, face=face)
    if chart is None:
        chart = polar_figure(load_diagram(one.load, condition=condition))
    yield _row([pressure, chart], title=f"{one.load.title}: pressure, and what clearance does")
    for note in (hole_note(one), whose_lines(one, condition=condition, window=window)):
        if note:
            yield Paragraph(text=note)


def hardest(found: Sequence[tuple[EngineFilm, BearingFilm]]) -> tuple[EngineFilm, BearingFilm]:
    """The condition to look at first: overheating, else no figure to lean on, else the thinnest."""
    return min(
        found,
        key=lambda pair: (not pair[1].overheats, pair[1].stands, pair[1].minimum_film_m),
    )


def hole_note(one: BearingFilm) -> str:
    """What the drawings leave out of a bearing with an oil hole; empty for others."""
    if one.load.data.groove is not Groove.HOLE:
        return ""
    return "Path and pressure are drawn as if the oil hole were closed; it still feeds oil."


def bearing_window(
    one: BearingFilm, *, condition: str, window: FilmWindow | None, face: LengthFace
) -> Figure | None:
    """Film against clearance at the page's condition, with this bearing's clearance in it."""
    kinds = [kind for kind in window.kinds if kind.fit_key == one.load.fit_key] if window else []
    if window is None or not kinds:
        return None
    here = tuple(each for each in kinds[0].conditions if each.name == condition)
    charts = window_charts(
        dataclasses.replace(kinds[0], conditions=here),
        film_m=window.film_m,
        face=face,
        only=one.load.title,
    )
    if not charts:
        return None
    return window_figure(
        dataclasses.replace(charts[0], title=f"{_capital(one.load.title)}: film against clearance")
    )


def whose_lines(one: BearingFilm, *, condition: str, window: FilmWindow | None) -> str:
    """Whose film the lines against clearance are, where they are not this bearing's own."""
    titles = [
        each.bearing_title
        for kind in (window.kinds if window is not None else ())
        if kind.fit_key == one.load.fit_key
        for each in kind.conditions
        if each.name == condition
    ]
    if not titles or titles[0] == one.load.title:
        return ""
    return (
        f"Film against clearance: the lines are those of {titles[0]}, whose load leaves the least"
        " film of its kind."
    )


def film_numbers(found: Sequence[tuple[EngineFilm, BearingFilm]], *, face: LengthFace) -> Table:
    """One bearing at each condition, as measured and at mid-limit."""
    columns = (
        Column(title="condition"),
        Column(title="clearance, cold", align=Align.RIGHT),
        Column(title="least film, µm", align=Align.RIGHT),
        Column(title="could be, µm", align=Align.RIGHT),
        Column(title="film, °C", align=Align.RIGHT),
        Column(title="peak, MPa", align=Align.RIGHT),
        Column(title="friction, W", align=Align.RIGHT),
        Column(title="oil, l/min", align=Align.RIGHT),
    )
    rows = []
    for film, one in found:
        could = NONE if one.band is None else interval_text(one.band.minimum_film_m)
        name = f"{film.condition.name}, {film.condition.speed_rpm or 0.0:.0f} rpm"
        cold = face.length(one.cold_clearance_m)
        mark = "" if one.stands else "? "
        rows.append(
            _number_row(name, cold, one.film, could=could, emphasis=Emphasis.PLAIN, mark=mark)
        )
        if one.at_mid_limit is not None and one.mid_limit_m is not None:
            rows.append(
                _number_row(
                    "at mid-limit",
                    face.length(one.mid_limit_m),
                    one.at_mid_limit,
                    could="",
                    emphasis=Emphasis.QUIET,
                )
            )
    return Table(columns=columns, rows=tuple(rows))


def _number_row(
    name: str, cold: str, film: CycleFilm, *, could: str, emphasis: Emphasis, mark: str = ""
) -> Row:
    texts = (
        name,
        cold,
        mark + figures_text(film.orbit.minimum_film_m * 1e6),
        could,
        f"{film.film_temperature_c:.0f}",
        figures_text(film.orbit.peak_pressure_pa * 1e-6),
        figures_text(film.mean_friction_power_w),
        figures_text(film.oil_flow_m3_s * L_MIN_PER_M3_S),
    )
    return Row(cells=tuple(Text(text=text) for text in texts), emphasis=emphasis)


def film_basis(films: Sequence[EngineFilm]) -> Iterator[Block]:
    """What the films rest on: oil, left-out bearings, rules of thumb."""
    yield Heading(level=2, text="What the films rest on")
    for text in dict.fromkeys(film.oil_words for film in films if film.oil_words):
        yield Paragraph(text=text)
    left_out: dict[tuple[str, str], list[str]] = {}
    for film in films:
        for one in film.left_out:
            left_out.setdefault((one.title, one.why), []).append(film.condition.name)
    for (title, why), names in left_out.items():
        yield Paragraph(text=f"No answer for {title} at {', '.join(names)}: {why}.")
    told = [text for film in films for text in (*film.notes, *film.assumptions)]
    for text in dict.fromkeys((*told, MANY_OUT)):
        yield Paragraph(text=text)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
