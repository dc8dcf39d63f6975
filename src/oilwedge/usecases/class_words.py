"""How far the readings of a bench lie from a reference, in words and short numbers."""

from __future__ import annotations

from collections.abc import Sequence

from oilwedge.usecases.class_comparison import BenchRow, SlotRow, SlotValue

FEWEST_FOR_AVERAGE = 3
NAMED_PLACES = 2
_SMALL = {"mm": ("µm", 1e-6, 0), "in": ("thou", 2.54e-5, 1), "thou": ("thou", 2.54e-5, 1)}


def small_unit(unit: str) -> str:
    """The unit in which differences are told beside lengths in ``unit``: µm or thou."""
    return _SMALL[unit][0]


def in_small_unit(difference_m: float, *, unit: str) -> float:
    """A difference in that unit, rounded to the digits that are told."""
    _, factor, decimals = _SMALL[unit]
    return round(difference_m / factor, decimals) + 0.0  # no negative zero


def difference_text(difference_m: float, *, unit: str) -> str:
    """A difference with its sign: "+4 µm", "−0.2 thou"; "0 µm" for none."""
    name, _, decimals = _SMALL[unit]
    value = in_small_unit(difference_m, unit=unit)
    sign = "+" if value > 0 else "\N{MINUS SIGN}" if value < 0 else ""
    return f"{sign}{abs(value):.{decimals}f} {name}"


def uncertainty_text(expanded_m: float, *, unit: str) -> str:
    """How far a value could be off: "± 3 µm"; never less than the last digit that is told."""
    name, factor, decimals = _SMALL[unit]
    value = max(round(expanded_m / factor, decimals), 10.0**-decimals)
    return f"± {value:.{decimals}f} {name}"


def verdict_word(value: SlotValue | None) -> str:
    """One place of one bench in a word or two."""
    if value is None:
        return "not read"
    if value.en is None:
        return "nothing to compare with"
    return "differs" if value.beyond else "agrees"


def bench_sentence(
    row: BenchRow, *, slots: Sequence[SlotRow], bench: int, unit: str, against: str
) -> str:
    """How a bench stands: "2 of 8 places differ from the reference: rod journal 1 by +18 µm."

    ``against`` is what it is held against: "the reference" or "the median of the class".
    """
    if not row.compared:
        return "Nothing to compare yet."
    if not row.beyond:
        places = "The one place" if row.compared == 1 else f"All {row.compared} places"
        agree = "agrees" if row.compared == 1 else "agree"
        return f"{places} read so far {agree} with {against}." + _leaning(row, unit)
    worst = worst_places(slots, bench=bench)
    named = [
        f"{slot.label}, by {difference_text(value.difference_m or 0.0, unit=unit)}"
        for slot, value in worst[:NAMED_PLACES]
    ]
    more = len(worst) - len(named)
    tail = f"; and {more} more" if more else ""
    verb = "differs" if len(worst) == 1 else "differ"
    return (
        f"{len(worst)} of {row.compared} places {verb} from {against}: {'; '.join(named)}{tail}."
        + _leaning(row, unit)
    )


def worst_places(slots: Sequence[SlotRow], *, bench: int) -> list[tuple[SlotRow, SlotValue]]:
    """The places at which a bench differs, the worst first."""
    beyond = [
        (slot, value)
        for slot in slots
        if (value := slot.values[bench]) is not None and value.beyond
    ]
    return sorted(beyond, key=lambda one: -abs(one[1].en or 0.0))


def _leaning(row: BenchRow, unit: str) -> str:
    mean = row.mean_difference_m
    if mean is None or row.compared < FEWEST_FOR_AVERAGE:
        return ""
    value = in_small_unit(mean, unit=unit)
    if value == 0.0:
        return ""
    size = difference_text(abs(mean), unit=unit).removeprefix("+")
    return f" On average it reads {size} {'more' if value > 0 else 'less'}."


def mark_text(row: BenchRow, *, places: int) -> str:
    """The mark: at how many of the places with a reference the bench agrees."""
    return f"{row.inside} of {places}" if places else "none yet"
