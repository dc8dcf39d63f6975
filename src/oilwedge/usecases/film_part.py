"""The film's part of a build sheet, computed for a judgement; one sentence where it cannot be."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from oilwedge.errors import InputError
from oilwedge.report.document import Block, Heading, Paragraph
from oilwedge.usecases.film_sheet import film_blocks, no_film_sentence
from oilwedge.usecases.judgement import Judgement
from oilwedge.usecases.length_face import LengthFace

__all__ = ["film_part"]

HEADING = Heading(level=1, text="The oil film when the engine runs")


def _silent(text: str) -> None:
    del text


def film_part(
    *,
    judgement: Judgement,
    face: LengthFace,
    folder: Path | None = None,
    progress: Callable[[str], None] = _silent,
) -> tuple[Block, ...]:
    """Compute the films of all bearings at all conditions of the engine file, and set them out.

    Takes some seconds; ``progress`` hears about them. ``folder``: that of the engine file, where
    pressure traces lie. Where the engine file does not say enough, or what it says does not go
    together, one paragraph says so in the place of the films. MissingExtraError without numba.
    """
    missing = no_film_sentence(judgement)
    if missing:
        return (HEADING, Paragraph(text=missing))
    from oilwedge.usecases.film_cycle import film_cycle
    from oilwedge.usecases.film_window import film_window

    try:
        films = film_cycle(judgement=judgement, folder=folder, progress=progress)
        progress("Film against clearance ...")
        window = film_window(engine=judgement.engine, judgement=judgement, folder=folder)
        return film_blocks(films=films, window=window, face=face)
    except InputError as error:
        first, *_ = error.faults
        return (HEADING, Paragraph(text=f"The oil film was not computed: {first.sentence()}"))
