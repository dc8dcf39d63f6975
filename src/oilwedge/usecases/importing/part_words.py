"""What people write of a part: its size, what it is, what was done, how a check went."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TypeVar

from oilwedge.errors import Fault, InputError, UnitError, did_you_mean
from oilwedge.fits.limits import Condition
from oilwedge.job.entry import EventKind, WorkKind
from oilwedge.units import Dimension, parse_quantity

T = TypeVar("T")

STATED = (Condition.NEW, Condition.MACHINED, Condition.REUSED)
LARGEST_STEP_M = 2.5e-3
_STANDARD = {"standard", "std", "std.", "nominal", "original", "0"}
_STEP = re.compile(
    r"(?P<size>.+?)\s*-?(?P<way>undersized?|oversized?|under|over|smaller|larger|u/?s|o/?s)\.?"
    r"( size)?",
    re.IGNORECASE,
)
_CONDITIONS: Mapping[str, Condition] = {
    **{condition.value: condition for condition in STATED},
    "n": Condition.NEW,
    "m": Condition.MACHINED,
    "r": Condition.REUSED,
    "reused": Condition.REUSED,
    "re used": Condition.REUSED,
    "used": Condition.REUSED,
    "old": Condition.REUSED,
    "ground": Condition.MACHINED,
    "reground": Condition.MACHINED,
    "honed": Condition.MACHINED,
    "bored": Condition.MACHINED,
}
_WORKS: Mapping[str, WorkKind] = {
    **{work.value: work for work in WorkKind},
    "reground": WorkKind.GROUND,
    "grinding": WorkKind.GROUND,
    "polishing": WorkKind.POLISHED,
    "honing": WorkKind.HONED,
    "rebored": WorkKind.BORED,
    "boring": WorkKind.BORED,
    "line bored": WorkKind.RESIZED,
    "renewed": WorkKind.REPLACED,
    "exchanged": WorkKind.REPLACED,
    "new": WorkKind.REPLACED,
    "fitted again": WorkKind.REFITTED,
    "refit": WorkKind.REFITTED,
}
_CHECKS: Mapping[str, str] = {
    **dict.fromkeys(("passed", "pass", "ok", "good", "yes", "zero"), "passed"),
    **dict.fromkeys(("failed", "fail", "bad", "not ok", "no", "off"), "failed"),
}
_TABLE_KINDS = [kind for kind in EventKind if kind.may_stand_in_a_table]
_KINDS: Mapping[str, EventKind] = {
    **{kind.value: kind for kind in _TABLE_KINDS},
    "zero": EventKind.ZERO_CHECK,
    "confirm": EventKind.CONFIRMED,
    "skip": EventKind.SKIPPED,
    "sign": EventKind.SIGNED,
    "decided": EventKind.DECISION,
}


def read_kind(text: str) -> EventKind:
    """The kind of event that a cell names; those that the record makes itself are none."""
    return _look_up(text, _KINDS, [kind.value for kind in _TABLE_KINDS], sort="an event")


def read_condition(text: str) -> Condition:
    """New, machined or re-used."""
    return _look_up(
        text, _CONDITIONS, [condition.value for condition in STATED], sort="the condition"
    )


def read_check(text: str) -> str:
    """Passed or failed."""
    return _look_up(text, _CHECKS, ["passed", "failed"], sort="a zero check")


def read_work(text: str, *, undersize_factor: float) -> tuple[WorkKind, float | None]:
    """What was done, and the step of size that it ended at ("ground to 0.25 mm under")."""
    words, _, size = text.strip().partition(" to ")
    work = _look_up(words, _WORKS, [work.value for work in WorkKind], sort="the work")
    step_m = read_step(size, undersize_factor=undersize_factor) if size.strip() else None
    return work, step_m


def read_step(text: str, *, undersize_factor: float) -> float:
    """The step of size in metres: 0 for "standard", 0.00025 for "0.25 mm under" of a journal.

    ``undersize_factor`` times the step is the change of the nominal size. The step is positive
    for an undersize where the factor is negative (journals, shell bores) and for an oversize
    where it is positive (cylinders, pistons); for shells (factor 0.5) an undersize is positive.
    Where the factor is 0 or the subject is a part, it is positive either way.
    """
    bare = " ".join(text.casefold().split())
    if bare in _STANDARD:
        return 0.0
    match = _STEP.fullmatch(text.strip())
    if match is None:
        raise _no_size(text)
    try:
        quantity = parse_quantity(match["size"], dimension=Dimension.LENGTH)
    except UnitError as error:
        raise InputError(
            Fault(given=text.strip(), allowed=error.faults[0].allowed, action=_EXAMPLE)
        ) from None
    step_m = quantity.value_si
    if not 0.0 <= step_m <= LARGEST_STEP_M:
        raise InputError(
            Fault(
                given=text.strip(),
                allowed="a step of size is 0 to 2.5 mm (0.1 in)",
                action="check the unit",
            )
        )
    under = match["way"].casefold().startswith(("u", "s"))
    against = (undersize_factor < 0 and not under) or (undersize_factor == 1 and under)
    return -step_m if against else step_m


def step_side(*, step_m: float, undersize_factor: float) -> str:
    """Over or under, as ``read_step`` takes it: shells for an undersize are thicker, yet under."""
    usual, other = ("over", "under") if undersize_factor == 1 else ("under", "over")
    return usual if step_m > 0.0 else other


_EXAMPLE = "write standard, 0.25 mm under or 0.020 in over"


def _no_size(text: str) -> InputError:
    return InputError(
        Fault(given=text.strip(), allowed="this does not say which size it is", action=_EXAMPLE)
    )


def _look_up(text: str, known: Mapping[str, T], allowed: list[str], *, sort: str) -> T:
    word = " ".join(text.casefold().replace("_", " ").split())
    found = known.get(word)
    if found is None:
        found = known.get(word.replace("-", " "))
    if found is None:
        raise InputError(
            Fault(
                given=text.strip(),
                allowed=f"{sort} is {', '.join(allowed[:-1])} or {allowed[-1]}",
                action=did_you_mean(given=word, allowed=allowed),
            )
        )
    return found
