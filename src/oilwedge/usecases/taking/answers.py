"""Answers to the questions that come before the first value of a feature."""

from __future__ import annotations

from dataclasses import replace

from oilwedge.engine.model import Shape
from oilwedge.fits.limits import Condition
from oilwedge.job.entry import Event, EventKind
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.tables.undersizes import nearest_standard_step, whole_thimble_turns
from oilwedge.usecases.importing.part_words import read_condition, read_step, step_side
from oilwedge.usecases.taking.asking import fitting_instruments, suits
from oilwedge.usecases.taking.bench import Bench, Slot
from oilwedge.usecases.taking.line import is_no, is_yes
from oilwedge.usecases.taking.state import Ask, Held, State, Step, Tick
from oilwedge.usecases.taking.summary import shown

NEAR_STANDARD_M = 0.1e-3  # wear and a cheap micrometer stay under this
NEAR_STEP_M = 0.04e-3
_FROM_READING = frozenset({"reading", "r", "first reading", "measure", "unknown", "don't know"})


def stored(state: State, *events: Event) -> State:
    """The state with these events in its record."""
    return replace(state, entries=(*state.entries, *events))


def passed(state: State, key: str) -> State:
    """The state in which a question is not asked again."""
    return replace(state, passed=state.passed | {key})


def answer_size(bench: Bench, state: State, slot: Slot, text: str, tick: Tick) -> Step:
    """Standard, an undersize, or "reading": then the first reading says."""
    if text.casefold() in _FROM_READING:
        message = "The first reading will say."
        return Step(state=passed(state, f"size {slot.feature}"), messages=(message,))
    factor = bench.engine.features[slot.feature].undersize_factor
    step_m = read_step(text, undersize_factor=factor)
    event = Event(
        id=tick.ids[0],
        kind=EventKind.SIZE,
        subject=slot.feature,
        value=text,
        step_m=step_m,
        person=state.person,
        time=tick.now,
    )
    return Step(state=stored(replace(state, held=None), event), entries=(event,))


def answer_condition(state: State, part: str, text: str, tick: Tick) -> Step:
    """New, machined or re-used."""
    condition: Condition = read_condition(text)
    event = Event(
        id=tick.ids[0],
        kind=EventKind.CONDITION,
        subject=part,
        value=condition.value,
        person=state.person,
        time=tick.now,
    )
    return Step(state=stored(state, event), entries=(event,))


def answer_instrument(bench: Bench, state: State, slot: Slot, text: str) -> Step:
    """The instrument or strip of a feature; nothing: the usual kind, not named."""
    feature = bench.engine.features[slot.feature]
    key = bench.names.instrument_for(text, feature=feature) if text else ""
    messages: list[str] = []
    instrument = bench.instruments.get(key)
    if feature.shape is Shape.STRIP and not text:
        messages.append("Widths and 'not flattened' need a named strip.")
    elif instrument is not None and not suits(instrument, feature):
        messages.append(f"Look again: {instrument.title} is not usual for {feature.title}.")
    state = replace(state, instruments={**state.instruments, slot.feature: key})
    if not state.unit and instrument is not None:
        state = replace(state, unit=instrument.unit)
    return Step(state=state, messages=tuple(messages))


def known_instrument(bench: Bench, state: State, slot: Slot) -> str | None:
    """The instrument that needs no question: the only one that fits, or one in use that does."""
    feature = bench.engine.features[slot.feature]
    if feature.shape is Shape.STRIP:
        return next(iter(bench.shop.strips)) if len(bench.shop.strips) == 1 else None
    for key in state.instruments.values():
        instrument = bench.shop.instruments.get(key)
        if instrument is not None and feature.instrument and suits(instrument, feature):
            return key
    fitting = fitting_instruments(bench, feature)
    return fitting[0].key if len(fitting) == 1 else None


def answer_strip(state: State, slot: Slot, text: str, tick: Tick) -> Step:
    """Everything is so: kept as a note."""
    if not is_yes(text):
        message = "See to it first, then type yes; 'skip' leaves this place out."
        return Step(state=state, messages=(message,))
    event = Event(
        id=tick.ids[0],
        kind=EventKind.NOTE,
        subject=slot.feature,
        value="strip: faces dry, threads oiled, crank lying in its shells, nothing turned",
        person=state.person,
        time=tick.now,
    )
    state = passed(stored(state, event), f"strip {slot.feature}")
    return Step(state=state, entries=(event,))


def ask_step(bench: Bench, state: State, slot: Slot, reading: Reading) -> tuple[State, list[str]]:
    """After the first reading of a feature whose size was not stated: what it looks like."""
    feature = bench.feature(slot)
    nominal_m = feature.reference_m
    if nominal_m is None or reading.bound is not Bound.NONE:
        return state, []
    deviation = reading.form is ReadingForm.DEVIATION
    off_m = reading.value_m if deviation else reading.value_m - nominal_m
    step_m = off_m / feature.undersize_factor
    step = nearest_standard_step(deviation_m=step_m, tolerance_m=NEAR_STEP_M)
    turn = whole_thimble_turns(deviation_m=off_m, tolerance_m=NEAR_STEP_M)
    messages = []
    words = "standard"
    if abs(step_m) > NEAR_STANDARD_M or step is not None:
        away = f"{shown(abs(off_m), feature.unit)} {'over' if off_m > 0 else 'under'} nominal"
        if step is None:
            messages.append(f"That is {away}, which is no step of the trade.")
            words = "standard, worn that far"
        else:
            side = step_side(step_m=step_m, undersize_factor=feature.undersize_factor)
            words = f"{step.words} {side}"
            messages.append(f"That is {away}.")
        if turn is not None:
            messages.append(f"A turn of the thimble ({turn.words}) looks the same: look again.")
    return replace(state, held=Held(ask=Ask.STEP, step_text=words)), messages


def answer_step(bench: Bench, state: State, slot: Slot, text: str, tick: Tick) -> Step:
    """Yes to the size that the first reading looks like, or another size."""
    held = state.held
    words = held.step_text if held is not None else "standard"
    if is_no(text):
        again = replace(state, held=None, passed=state.passed - {f"size {slot.feature}"})
        return Step(state=again)
    text = words.partition(",")[0] if is_yes(text) else text
    return answer_size(bench, state, slot, text, tick)
