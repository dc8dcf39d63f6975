"""One bench of a class on its board: how far it is, what it is at, where it agrees.

The signs on the crank of a bench say how its readings stand against the reference, not how the
engine's fits stand against their limits: full disc, the readings of the bearing agree; shifted
rings, at least one differs by more than the uncertainty; dashed ring, begun or nothing to compare
with yet; dot, not read.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence

from oilwedge.engine.model import Engine
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS
from oilwedge.metrology.reading import Reading
from oilwedge.report.state_sign import StateSign
from oilwedge.shop.model import Shop
from oilwedge.usecases.class_comparison import STUCK_AFTER, ClassComparison
from oilwedge.usecases.job_summary import bearing_links
from oilwedge.usecases.measuring.sets import SetProgress, sets
from oilwedge.usecases.planning.plan import Plan

AGREEMENT_WORDS = {
    StateSign.RIGHT: "agrees",
    StateSign.READINGS_DISAGREE: "differs",
    StateSign.CANNOT_TELL: "begun, or nothing to compare with yet",
    StateSign.NOT_MEASURED: "not read",
}

# What a pupil enters at work; a note by the teacher does not mean that a bench goes on.
AT_WORK = frozenset(
    {
        EventKind.CONDITION,
        EventKind.SIZE,
        EventKind.WORK,
        EventKind.ZERO_CHECK,
        EventKind.CONFIRMED,
        EventKind.SKIPPED,
    }
)


def bench_sets(
    *,
    engine: Engine,
    shop: Shop,
    entries: Sequence[Entry],
    plan: Plan,
    features: Sequence[str] = (),
) -> tuple[SetProgress, ...]:
    """The sets of the task in planned order and how far a bench is with each."""
    found = sets(engine=engine, shop=shop, entries=entries, plan=plan)
    return tuple(one for one in found if not features or one.feature in features)


def current_set(planned: Sequence[SetProgress], *, entries: Sequence[Entry]) -> SetProgress | None:
    """What a bench is at: the set read last while it is open, else the next open one."""
    keys = [(one.feature, one.number) for one in planned]
    read = [(one.feature, one.number) for one in entries if isinstance(one, Reading)]
    last = next((one for one in reversed(read) if one in keys), None)
    start = keys.index(last) if last is not None else 0
    order = (*planned[start:], *planned[:start])
    return next((one for one in order if not one.complete), None)


def last_moment(entries: Sequence[Entry]) -> datetime.datetime | None:
    """When a reading, or what belongs to measuring, was entered last."""
    times = [
        one.time
        for one in entries
        if one.time is not None and (not isinstance(one, Event) or one.kind in AT_WORK)
    ]
    return max(times, default=None, key=_aware)


def is_stuck(
    *,
    planned: Sequence[SetProgress],
    last: datetime.datetime | None,
    now: datetime.datetime,
    after: datetime.timedelta = STUCK_AFTER,
) -> bool:
    """Whether a bench that has begun and is not done had no entry for some time."""
    begun = any(one.taken or one.skipped for one in planned)
    waits = any(one.open for one in planned)
    return begun and waits and last is not None and _aware(now) - _aware(last) >= after


def _aware(time: datetime.datetime) -> datetime.datetime:
    """A time without a zone is taken as UTC, so that one can be held against another."""
    return time if time.tzinfo is not None else time.replace(tzinfo=datetime.UTC)


def comparable(entries: Sequence[Entry], *, shop: Shop) -> tuple[Entry, ...]:
    """The entries without readings by an instrument that the shop no longer lists.

    Nobody knows how far such a reading could be off, so it is not compared; it counts as read.
    """
    known = {"", *GENERIC_INSTRUMENTS, *shop.instruments, *shop.strips}
    return tuple(one for one in entries if not isinstance(one, Reading) or one.instrument in known)


def bearing_signs(
    *, engine: Engine, comparison: ClassComparison, planned: Sequence[SetProgress], bench: int
) -> Mapping[str, StateSign]:
    """The sign of each bearing of the crank drawing ("main 2") for the bench of this place."""
    signs = {}
    for link in bearing_links(engine):
        fit = engine.fits.get(link.fit)
        features = {*(fit.features if fit is not None else ()), link.feature}
        wanted = [one for one in planned if one.feature in features and one.number == link.number]
        signs[link.key] = _sign(comparison, wanted, bench)
    return signs


def _sign(comparison: ClassComparison, wanted: Sequence[SetProgress], bench: int) -> StateSign:
    keys = {(one.feature, one.number) for one in wanted}
    rows = [row for row in comparison.slots if (row.feature, row.number) in keys]
    found = [value for row in rows if (value := row.values[bench]) is not None]
    if any(one.beyond for one in found):
        return StateSign.READINGS_DISAGREE
    if not any(one.taken for one in wanted):
        return StateSign.NOT_MEASURED
    whole = all(one.complete for one in wanted)
    if whole and found and all(one.en is not None for one in found):
        return StateSign.RIGHT
    return StateSign.CANNOT_TELL
