"""What stands beside a verdict without changing it: readings by an instrument not to be trusted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from oilwedge.engine.model import Feature, Shape
from oilwedge.job.standing import Doubted
from oilwedge.metrology.instrument import Instrument
from oilwedge.metrology.reading import Reading


class FlagKind(Enum):
    """Why a verdict is flagged."""

    CALIBRATION_OVERDUE = "calibration overdue"
    ZERO_CHECK = "zero check failed"


@dataclass(frozen=True, kw_only=True, slots=True)
class Flag:
    """One flag on a verdict, with the instrument that it is about."""

    kind: FlagKind
    instrument: str
    text: str

    def __str__(self) -> str:
        """The sentence."""
        return self.text


def flags_of(
    *,
    readings: Sequence[Reading],
    doubted: Sequence[Doubted],
    features: Mapping[str, Feature],
    instruments: Mapping[str, Instrument],
) -> tuple[Flag, ...]:
    """The flags of a result that rests on these readings.

    An instrument is overdue for a reading taken after the day on which its calibration was due; so
    is what it was set in. A reading without a time is not flagged: nobody knows.
    """
    return (
        *_overdue(readings, features=features, instruments=instruments),
        *_zero_checks(doubted, instruments=instruments),
    )


def _overdue(
    readings: Sequence[Reading],
    *,
    features: Mapping[str, Feature],
    instruments: Mapping[str, Instrument],
) -> Iterator[Flag]:
    late: dict[str, set[str]] = {}
    for reading in readings:
        for one in _behind(reading, features[reading.feature], instruments):
            due = one.calibration_due
            if due is not None and reading.time is not None and due < reading.time.date():
                late.setdefault(one.key, set()).add(reading.id)
    for key, ids in late.items():
        one = instruments[key]
        yield Flag(
            kind=FlagKind.CALIBRATION_OVERDUE,
            instrument=key,
            text=f"The {one.title} was overdue for calibration (due {one.calibration_due}) when"
            f" {_count(len(ids))} taken; the verdict stands as it is.",
        )


def _behind(
    reading: Reading, feature: Feature, instruments: Mapping[str, Instrument]
) -> Iterator[Instrument]:
    """The instrument of a reading and what it was set in; a gap is a difference, read alone."""
    key, seen = reading.instrument, set[str]()
    while key in instruments and key not in seen:
        seen.add(key)
        yield instruments[key]
        if feature.shape is Shape.GAP:
            return
        key = instruments[key].set_in


def _zero_checks(
    doubted: Sequence[Doubted], *, instruments: Mapping[str, Instrument]
) -> Iterator[Flag]:
    by_instrument: dict[str, set[str]] = {}
    for one in doubted:
        by_instrument.setdefault(one.instrument, set()).add(one.reading.id)
    for key, ids in by_instrument.items():
        title = instruments[key].title if key in instruments else key
        yield Flag(
            kind=FlagKind.ZERO_CHECK,
            instrument=key,
            text=f"The {title} failed a zero check, and no good one lies between it and when"
            f" {_count(len(ids))} taken.",
        )


def _count(count: int) -> str:
    return "one reading here was" if count == 1 else f"{count} readings here were"
