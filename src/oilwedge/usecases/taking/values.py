"""A value that was typed: asked back where it has to be, then stored."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from oilwedge.errors import Fault, InputError, UnitError, Where
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.units import UNITS, Dimension, Parsed, find_unit, parse_quantity
from oilwedge.usecases.importing.plausible import band_of, doubt, form_of, is_zeroed_gauge
from oilwedge.usecases.importing.value import TypedValue
from oilwedge.usecases.taking.answers import ask_step
from oilwedge.usecases.taking.asking import next_open, usual_unit
from oilwedge.usecases.taking.bench import Bench, Progress, Slot, has_steps, progress
from oilwedge.usecases.taking.line import is_yes, read_line, read_sign, read_typed
from oilwedge.usecases.taking.state import Ask, Held, Mode, State, Step, Tick
from oilwedge.usecases.taking.summary import set_lines

_AGAIN = "Type it again, or yes to keep it."


def take_value(bench: Bench, state: State, slot: Slot, text: str, tick: Tick) -> Step:
    """Read a value; raises InputError for text that is none."""
    feature = bench.feature(slot)
    key = state.instruments.get(slot.feature, "")
    typed = read_typed(text, unit=state.unit, strip=bench.shop.strips.get(key))
    if not state.unit:
        state = replace(state, unit=typed.quantity.unit)
    zeroed = is_zeroed_gauge(engine=bench.engine, feature=feature)
    exact = typed.bound is Bound.NONE and not typed.width
    if zeroed and exact and not typed.signed and typed.quantity.decimal != 0:
        return Step(state=replace(state, held=Held(ask=Ask.SIGN, text=text, typed=typed)))
    return _checked(bench, state, slot, text, typed, tick)


def answer_unit(bench: Bench, state: State, slot: Slot, text: str, tick: Tick) -> Step:
    """A unit, Enter for the usual one, or at once a value with its unit."""
    try:
        name = find_unit(
            text=text or usual_unit(bench, state, slot), dimension=Dimension.LENGTH
        ).name
    except UnitError:
        return take_value(bench, state, slot, text, tick)
    return Step(state=replace(state, unit=name), messages=(f"Unit: {name}.",))


def _checked(
    bench: Bench, state: State, slot: Slot, text: str, typed: TypedValue, tick: Tick
) -> Step:
    """Ask back what cannot be; store what can."""
    feature = bench.feature(slot)
    form = form_of(typed, feature=feature)
    strip = bench.shop.strips.get(state.instruments.get(slot.feature, ""))
    band = band_of(engine=bench.engine, feature=feature, form=form, strip=strip)
    fault = doubt(typed, band=band, form=form, label=bench.label(slot), feature=feature)
    if fault is None:
        return _store(bench, state, slot, text, typed, form, tick, fault=None)
    held = Held(ask=Ask.CONFIRM, text=text, typed=typed, form=form, fault=fault)
    message = replace(fault, given="", where=Where()).sentence()
    return Step(state=replace(state, held=held), messages=(message, _AGAIN))


def answer_confirm(bench: Bench, state: State, slot: Slot, text: str, tick: Tick) -> Step:
    """Yes keeps the value, with the doubt on record; anything else is a new value."""
    held = state.held
    free = replace(state, held=None)
    if held is None or held.typed is None or not is_yes(text):
        return take_value(bench, free, slot, text, tick)
    return _store(bench, free, slot, held.text, held.typed, held.form, tick, fault=held.fault)


def answer_sign(bench: Bench, state: State, slot: Slot, text: str, tick: Tick) -> Step:
    """Larger or smaller than zero, and whole turns of the pointer."""
    held = state.held
    answer = read_sign(text)
    if held is None or held.typed is None or answer is None:
        message = "l for larger, s for smaller; with whole turns of the pointer l 1 or s 2."
        return Step(state=state, messages=(message,))
    sign, turns = answer
    if turns and state.turn_m is None:
        waiting = replace(held, ask=Ask.TURN, turns=sign * turns)
        return Step(state=replace(state, held=waiting))
    return _signed(bench, state, slot, held, sign=sign, turns=turns, tick=tick)


def answer_turn(bench: Bench, state: State, slot: Slot, text: str, tick: Tick) -> Step:
    """The length of one turn, remembered."""
    held = state.held
    turn = parse_quantity(text, dimension=Dimension.LENGTH, default_unit=state.unit or None)
    if held is None or not 0 < turn.value_si <= 0.02:
        fault = Fault(given=text, allowed="one turn is more than 0 and at most 20 mm")
        raise InputError(fault)
    state = replace(state, turn_m=turn.value_si)
    sign = 1 if held.turns > 0 else -1
    return _signed(bench, state, slot, held, sign=sign, turns=abs(held.turns), tick=tick)


def _signed(
    bench: Bench, state: State, slot: Slot, held: Held, *, sign: int, turns: int, tick: Tick
) -> Step:
    assert held.typed is not None
    old = held.typed.quantity
    text = f"{held.text} {'larger' if sign > 0 else 'smaller'}"
    extra_m = 0.0
    if turns:
        extra_m = turns * (state.turn_m or 0.0)
        text += f", {turns} turn{'s' if turns > 1 else ''}"
    value_m = sign * (old.value_si + extra_m)
    decimal = Decimal(repr(round(value_m / float(UNITS[old.unit].factor), 9)))
    quantity = Parsed(value_si=value_m, text=text, unit=old.unit, decimal=decimal)
    typed = TypedValue(quantity=quantity, signed=True)
    return _checked(bench, replace(state, held=None), slot, text, typed, tick)


def _store(
    bench: Bench,
    state: State,
    slot: Slot,
    text: str,
    typed: TypedValue,
    form: ReadingForm,
    tick: Tick,
    *,
    fault: Fault | None,
) -> Step:
    """The reading, with a note of what was confirmed; then on to the next open place."""
    before = progress(bench, state.entries)
    if text == read_line(tick.typed).text:
        text = tick.typed
    reading = Reading(
        id=tick.ids[0],
        feature=slot.feature,
        number=slot.number,
        place=slot.place,
        direction=slot.direction,
        value_m=typed.quantity.value_si,
        form=form,
        bound=typed.bound,
        text=text,
        unit=typed.quantity.unit,
        instrument=state.instruments.get(slot.feature, ""),
        person=state.person,
        time=tick.now,
        part_temperature_c=state.part_c,
        instrument_temperature_c=state.instrument_c,
        fitting=state.fittings.get(slot.set, 1),
        setting=str(state.setting),
        replaces=_replaced(state, before, slot),
    )
    new: tuple[Entry, ...] = (reading,)
    if fault is not None:
        new += (_confirmation(reading, fault, tick),)
    state = replace(
        state,
        entries=(*state.entries, *new),
        held=None,
        last_id=reading.id,
        mode=Mode.NEXT,
        replaces="",
    )
    messages: list[str] = []
    asked_key = f"asked {slot.feature}"
    unsized = has_steps(bench.feature(slot)) and slot.set not in before.standing.steps_m
    if unsized and asked_key not in state.passed:
        state, messages = ask_step(bench, state, slot, reading)
        state = replace(state, passed=state.passed | {asked_key})
    return _go_on(bench, state, slot, new, messages, was_open=before.is_open(slot))


def _replaced(state: State, done: Progress, slot: Slot) -> str:
    if state.replaces:
        return state.replaces
    old = done.reading(slot) if state.mode is Mode.REPLACE else None
    return old.id if old is not None else ""


def _confirmation(reading: Reading, fault: Fault, tick: Tick) -> Event:
    return Event(
        id=tick.ids[1],
        kind=EventKind.CONFIRMED,
        subject=reading.feature,
        number=reading.number,
        value=reading.id,
        person=reading.person,
        time=tick.now,
        note=f"asked: {replace(fault, given='', where=Where()).sentence()} answered: yes",
    )


def _go_on(
    bench: Bench,
    state: State,
    slot: Slot,
    new: tuple[Entry, ...],
    messages: list[str],
    *,
    was_open: bool,
) -> Step:
    """On to the next open place. The question about the size stays with the slot just read."""
    done = progress(bench, state.entries)
    complete = not any(done.is_open(one) for one in bench.slots if one.set == slot.set)
    if complete and (was_open or any(isinstance(e, Reading) and e.replaces for e in new)):
        messages = [*messages, *set_lines(bench, done, slot)]
    if state.held is None:
        state = move_on(bench, state, done)
        messages = [*messages, *series_lines(bench, state, slot)]
    return Step(state=state, messages=tuple(messages), entries=new)


def move_on(bench: Bench, state: State, done: Progress) -> State:
    """To the next open slot, or to the end."""
    return replace(
        state,
        position=next_open(bench, done, after=state.position),
        mode=Mode.NEXT,
        replaces="",
        held=None,
    )


def series_lines(bench: Bench, state: State, before: Slot) -> list[str]:
    """What to say when a planned repeat begins."""
    if not 0 <= state.position < len(bench.slots):
        return ["Everything that was planned is read."]
    slot = bench.slots[state.position]
    if slot.set == before.set and slot.series > before.series:
        return [
            f"Series {slot.series} of {bench.repeats}. If you took it off, cleaned it and put it"
            " back, type refit first."
        ]
    return []
