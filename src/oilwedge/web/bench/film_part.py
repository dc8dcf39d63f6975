"""What a fit's page says of the oil film: the way to it, and its sentence where it is known."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.usecases.film_data import MissingDatum
from oilwedge.web.bench.films import FILM_FITS, kept_films, missing_of
from oilwedge.web.people.models import Account
from oilwedge.web.record.models import Job


@dataclass(frozen=True, kw_only=True, slots=True)
class FilmPart:
    """What is missing, or the sentence if somebody had it calculated already; both may be empty."""

    missing: tuple[MissingDatum, ...]
    sentence: str


def film_part(job: Job, *, account: Account, fit: str, number: int) -> FilmPart | None:
    """The part of one fit's page; None for a fit that has no film. Nothing is calculated here."""
    if fit not in FILM_FITS:
        return None
    missing = missing_of(job)
    kept = None if missing else kept_films(job, account=account)
    found = [
        one
        for film in (kept.films if kept is not None else ())
        for one in film.bearings
        if (one.load.fit_key, one.load.number) == (fit, number)
    ]
    thinnest = min(found, key=lambda one: one.minimum_film_m, default=None)
    return FilmPart(missing=missing, sentence="" if thinnest is None else thinnest.sentence)
