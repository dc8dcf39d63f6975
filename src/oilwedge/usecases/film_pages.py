"""The films of an engine as pages: all bearings beside each other, and one page for a bearing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from oilwedge.report.document import Block, Document, Figure, Paragraph
from oilwedge.report.film_angle import angle_figure
from oilwedge.report.film_comparison import comparison_figure
from oilwedge.report.film_orbit import orbit_figure
from oilwedge.report.film_polar import polar_figure
from oilwedge.report.film_pressure import pressure_figure
from oilwedge.usecases.film_drawings import (
    comparison_of,
    film_over_angle,
    journal_path,
    load_diagram,
    worst_pressure,
)
from oilwedge.usecases.film_sheet import (
    bearing_window,
    film_basis,
    film_numbers,
    hardest,
    whose_lines,
)
from oilwedge.usecases.film_window_document import NOT_OVERRULED, window_sentences
from oilwedge.usecases.length_face import LengthFace

if TYPE_CHECKING:
    from oilwedge.usecases.film_cycle_answer import BearingFilm, EngineFilm
    from oilwedge.usecases.film_window_curves import FilmWindow

__all__ = [
    "BearingFilmPage",
    "ConditionFilms",
    "EngineFilmPage",
    "FilmLine",
    "bearing_film_page",
    "engine_film_page",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class FilmLine:
    """A bearing in the list of all: its smallest film, and that at mid-limit, in words."""

    fit_key: str
    number: int
    title: str
    condition: str
    film: str
    at_mid_limit: str


@dataclass(frozen=True, kw_only=True, slots=True)
class ConditionFilms:
    """All bearings at one condition; ``figure`` None where none has an answer."""

    name: str
    speed_rpm: float
    sentences: tuple[str, ...]
    figure: Figure | None


@dataclass(frozen=True, kw_only=True, slots=True)
class EngineFilmPage:
    """All bearings condition by condition, a list of them, and what it all rests on.

    ``reading`` says how the figures are read, once for all.
    """

    conditions: tuple[ConditionFilms, ...]
    reading: str
    lines: tuple[FilmLine, ...]
    window_sentences: tuple[str, ...]
    basis: Document
    meaning: str = NOT_OVERRULED


@dataclass(frozen=True, kw_only=True, slots=True)
class BearingFilmPage:
    """One bearing at one condition; ``conditions`` are those that have an answer for it."""

    title: str
    condition: str
    conditions: tuple[str, ...]
    sentence: str
    numbers: Document
    figures: tuple[Figure, ...]
    note: str
    meaning: str = NOT_OVERRULED


def engine_film_page(
    *, films: Sequence[EngineFilm], window: FilmWindow | None, face: LengthFace
) -> EngineFilmPage:
    """The comparison of all bearings at each condition."""
    conditions = tuple(_condition(film) for film in films)
    return EngineFilmPage(
        conditions=tuple(
            replace(one, figure=None if one.figure is None else replace(one.figure, caption=""))
            for one in conditions
        ),
        reading=next((one.figure.caption for one in conditions if one.figure is not None), ""),
        lines=tuple(_line(key, films) for key in _keys(films)),
        window_sentences=tuple(
            sentence
            for kind in (window.kinds if window is not None else ())
            for sentence in window_sentences(
                kind, film_m=window.film_m if window is not None else 0.0, face=face
            )
        ),
        basis=_document(film_basis(films)),
    )


def bearing_film_page(
    *,
    films: Sequence[EngineFilm],
    window: FilmWindow | None,
    fit_key: str,
    number: int,
    condition: str,
    face: LengthFace,
) -> BearingFilmPage | None:
    """One bearing at a condition ("": that hardest on it); None without an answer."""
    found = [
        (film, one)
        for film in films
        for one in film.bearings
        if (one.load.fit_key, one.load.number) == (fit_key, number)
    ]
    if not found:
        return None
    asked = (pair for pair in found if pair[0].condition.name == condition)
    film, one = next(asked, hardest(found))
    return BearingFilmPage(
        title=one.load.title,
        condition=film.condition.name,
        conditions=tuple(pair[0].condition.name for pair in found),
        sentence=one.sentence,
        numbers=_document([film_numbers(found, face=face)]),
        figures=tuple(_figures(film, one, window, face)),
        note=whose_lines(one, condition=film.condition.name, window=window),
    )


def _condition(film: EngineFilm) -> ConditionFilms:
    drawn = comparison_of(film)
    return ConditionFilms(
        name=film.condition.name,
        speed_rpm=film.condition.speed_rpm or 0.0,
        sentences=film.sentences,
        figure=None if drawn is None else comparison_figure(drawn),
    )


def _figures(
    film: EngineFilm, one: BearingFilm, window: FilmWindow | None, face: LengthFace
) -> Iterable[Figure]:
    name, chosen_m = film.condition.name, film.chosen_film_m
    yield orbit_figure(journal_path(one, condition=name, chosen_film_m=chosen_m))
    yield angle_figure(film_over_angle(one, condition=name, chosen_film_m=chosen_m))
    yield pressure_figure(worst_pressure(one, condition=name))
    chart = bearing_window(one, condition=name, window=window, face=face)
    if chart is not None:
        yield chart
    yield polar_figure(load_diagram(one.load, condition=name))


def _keys(films: Sequence[EngineFilm]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.load.key for film in films for one in film.bearings))


def _line(key: str, films: Sequence[EngineFilm]) -> FilmLine:
    """The condition that is hardest on the bearing."""
    found = [(film, one) for film in films if (one := film.bearing(key)) is not None]
    film, one = hardest(found)
    middle = one.at_mid_limit
    return FilmLine(
        fit_key=one.load.fit_key,
        number=one.load.number,
        title=one.load.title,
        condition=film.condition.name,
        film=_um(one.minimum_film_m),
        at_mid_limit="" if middle is None else _um(middle.minimum_film_m),
    )


def _um(film_m: float) -> str:
    return f"{film_m * 1e6:.2f} µm"


def _document(blocks: Iterable[Block]) -> Document:
    """Blocks of a page that has its title itself; paragraphs that say nothing are left out."""
    kept = tuple(one for one in blocks if not (isinstance(one, Paragraph) and not one.text))
    return Document(title="", blocks=kept)
