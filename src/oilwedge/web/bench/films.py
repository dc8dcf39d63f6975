"""The oil films of a job: computed when somebody asks, and kept while nothing changes.

They follow from the judgement and the engine file alone, and nothing is written: they are no part
of the record. What is kept in memory goes by the head of the chain, engine, shop, and what is
hidden from somebody while it is measured.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from oilwedge import __version__
from oilwedge.errors import MissingExtraError, OilwedgeError
from oilwedge.usecases.film_data import MissingDatum, missing_for_film
from oilwedge.web.bench.sheets import judged_for_paper
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import current_shop, engine_of
from oilwedge.web.record.models import Job

if TYPE_CHECKING:
    from oilwedge.usecases.film_cycle import EngineFilm
    from oilwedge.usecases.film_window_curves import FilmWindow

__all__ = ["FILM_FITS", "JobFilms", "films_of", "kept_films", "missing_of"]

FILM_FITS = ("rod_bearing", "main_bearing")
DRAWS = 1000
SEED = 1
_MOST_KEPT = 12

_LOCK = threading.Lock()
_COMPUTING = threading.Lock()  # one at a time: each takes all the processor there is
_KEPT: OrderedDict[Hashable, JobFilms] = OrderedDict()


@dataclass(frozen=True, kw_only=True, slots=True)
class JobFilms:
    """The films at each condition; without them ``trouble`` says in a sentence why."""

    films: tuple[EngineFilm, ...] = ()
    window: FilmWindow | None = None
    trouble: str = ""


def missing_of(job: Job) -> tuple[MissingDatum, ...]:
    """What the job's engine file does not say and a film needs."""
    return missing_for_film(engine=engine_of(job))


def kept_films(job: Job, *, account: Account) -> JobFilms | None:
    """The films of the job as it stands, if somebody asked for them already."""
    with _LOCK:
        return _KEPT.get(_key(job, account))


def films_of(job: Job, *, account: Account) -> JobFilms:
    """The films of the job as it stands, without what is hidden from this account."""
    key = _key(job, account)
    with _COMPUTING:
        with _LOCK:
            kept = _KEPT.get(key)
            if kept is not None:
                _KEPT.move_to_end(key)
                return kept
        found = _computed(job, account)
        with _LOCK:
            _KEPT[key] = found
            while len(_KEPT) > _MOST_KEPT:
                _KEPT.popitem(last=False)
        return found


def forget_films() -> None:
    """Let go of all that is kept."""
    with _LOCK:
        _KEPT.clear()


def _key(job: Job, account: Account) -> Hashable:
    judgement = judged_for_paper(job, account=account)
    seen = tuple((one.key, one.number) for one in judgement.fits if one.key in FILM_FITS)
    return (job.pk, job.head, job.engine_id, current_shop().digest, seen, __version__)


def _computed(job: Job, account: Account) -> JobFilms:
    from oilwedge.usecases.film_cycle import film_cycle
    from oilwedge.usecases.film_window import film_window

    judgement = judged_for_paper(job, account=account)
    try:
        films = film_cycle(judgement=judgement, draws=DRAWS, seed=SEED)
        window = film_window(engine=judgement.engine, judgement=judgement)
    except MissingExtraError as error:
        return JobFilms(trouble=f"On this computer the film cannot be calculated. {error}")
    except OilwedgeError as error:
        return JobFilms(trouble=str(error))
    return JobFilms(films=films, window=window)
