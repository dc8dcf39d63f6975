"""A session at the bench as a pure state machine: a typed line in; prompt, words, entries out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from oilwedge.engine.model import Shape
from oilwedge.errors import InputError, Where
from oilwedge.job.entry import Entry
from oilwedge.metrology.reading import Reading
from oilwedge.usecases.taking.answers import (
    answer_condition,
    answer_instrument,
    answer_size,
    answer_step,
    answer_strip,
    known_instrument,
)
from oilwedge.usecases.taking.asking import STRIP_LINES, asked, current, next_open, suits
from oilwedge.usecases.taking.bench import Bench, Slot, progress
from oilwedge.usecases.taking.commands import run
from oilwedge.usecases.taking.line import Line, read_line
from oilwedge.usecases.taking.state import Ask, Mode, State, Step, Tick
from oilwedge.usecases.taking.summary import where_line
from oilwedge.usecases.taking.values import (
    answer_confirm,
    answer_sign,
    answer_turn,
    answer_unit,
    move_on,
    series_lines,
    take_value,
)

_ONE_LETTER_ALWAYS = frozenset({"?", "q", "b"})


def start(
    bench: Bench,
    *,
    entries: Sequence[Entry],
    instrument: str = "",
    person: str = "",
    unit: str = "",
    temperature_c: float | None = None,
) -> Step:
    """Go on where the record stops. What is not given is remembered from the record.

    ``instrument`` (a key) is taken for every feature of the session that it suits, or for the
    only one; the temperature of an earlier day is not remembered.
    """
    features = list(dict.fromkeys(slot.feature for slot in bench.slots))
    able = [one for one in features if _reads(bench, instrument, one, alone=len(features) == 1)]
    instruments = dict.fromkeys(able, instrument)
    fittings: dict[tuple[str, int], int] = {}
    setting = 1
    for entry in entries:
        if not isinstance(entry, Reading):
            continue
        if entry.feature in features and entry.feature not in able and entry.instrument:
            instruments[entry.feature] = entry.instrument
        which = (entry.feature, entry.number)
        fittings[which] = max(entry.fitting, fittings.get(which, 1))
        setting = max(setting, int(entry.setting) if entry.setting.isdigit() else 1)
    last = next((e for e in reversed(entries) if isinstance(e, Reading)), None)
    done = progress(bench, entries)
    state = State(
        entries=tuple(entries),
        position=next_open(bench, done, after=0),
        unit=unit or (last.unit if last is not None and last.unit in {"mm", "in"} else ""),
        person=person or (last.person if last is not None else ""),
        part_c=temperature_c,
        instrument_c=temperature_c,
        instruments=instruments,
        fittings=fittings,
        setting=setting,
    )
    messages = [where_line(bench, done, current(bench, state)), "Type ? for help, stop to stop."]
    return _arrived(bench, Step(state=state, messages=tuple(messages)), before=None)


def _reads(bench: Bench, key: str, feature_key: str, *, alone: bool) -> bool:
    feature = bench.engine.features[feature_key]
    is_strip = key in bench.shop.strips
    if not key or is_strip or feature.shape is Shape.STRIP:
        return is_strip and feature.shape is Shape.STRIP
    return alone or suits(bench.instruments[key], feature)


def advance(bench: Bench, state: State, text: str, tick: Tick) -> Step:
    """What a line does. Bad input changes nothing and is answered in one sentence."""
    line = read_line(text)
    tick = replace(tick, typed=text.strip())
    before, _ = asked(bench, state)
    slot = current(bench, state)
    try:
        step = _advance(bench, state, line, tick)
    except InputError as error:
        placed = tuple(replace(fault, where=Where()).sentence() for fault in error.faults)
        return Step(state=state, messages=placed)
    return _arrived(bench, step, before=(before, slot))


def _advance(bench: Bench, state: State, line: Line, tick: Tick) -> Step:
    ask, subject = asked(bench, state)
    one_letter = len(line.text.partition(" ")[0]) == 1 and line.text[:1] not in _ONE_LETTER_ALWAYS
    if line.command is not None and (ask in {Ask.VALUE, Ask.END} or not one_letter):
        return run(bench, state, line, tick)
    slot = current(bench, state)
    if slot is None:
        return Step(state=state, messages=("Everything that was planned is read; type stop.",))
    if not line.text and ask not in {Ask.INSTRUMENT, Ask.UNIT}:
        return _empty(bench, state, slot, ask)
    match ask:
        case Ask.SIZE:
            return answer_size(bench, state, slot, line.text, tick)
        case Ask.CONDITION:
            return answer_condition(state, subject, line.text, tick)
        case Ask.INSTRUMENT:
            return answer_instrument(bench, state, slot, line.text)
        case Ask.STRIP_READY:
            return answer_strip(state, slot, line.text, tick)
        case Ask.UNIT:
            return answer_unit(bench, state, slot, line.text, tick)
        case Ask.SIGN:
            return answer_sign(bench, state, slot, line.text, tick)
        case Ask.TURN:
            return answer_turn(bench, state, slot, line.text, tick)
        case Ask.CONFIRM:
            return answer_confirm(bench, state, slot, line.text, tick)
        case Ask.STEP:
            step = answer_step(bench, state, slot, line.text, tick)
            return _after_step(bench, step, slot)
        case _:
            return take_value(bench, state, slot, line.text, tick)


def _after_step(bench: Bench, step: Step, slot: Slot) -> Step:
    """The size is known: on to the next place."""
    if step.state.held is not None:
        return step
    moved = move_on(bench, step.state, progress(bench, step.state.entries))
    more = tuple(series_lines(bench, moved, slot))
    return replace(step, state=moved, messages=(*step.messages, *more))


def _empty(bench: Bench, state: State, slot: Slot, ask: Ask) -> Step:
    """Enter alone: after "back" on again; a value in doubt is dropped; else asked once more."""
    if ask is Ask.VALUE and state.mode is not Mode.NEXT:
        return Step(state=move_on(bench, state, progress(bench, state.entries)))
    if ask in {Ask.CONFIRM, Ask.SIGN, Ask.TURN}:
        message = "Not kept."
        return Step(state=replace(state, held=None), messages=(message,))
    return Step(state=state, messages=("Nothing was typed; 'skip' leaves this out, ? helps.",))


def _arrived(bench: Bench, step: Step, *, before: tuple[Ask, Slot | None] | None) -> Step:
    """What is said or settled on coming to a new question."""
    state, messages = step.state, list(step.messages)
    ask, _ = asked(bench, state)
    slot = current(bench, state)
    if ask in {Ask.VALUE, Ask.UNIT} and state.mode is Mode.NEXT and slot is not None:
        done = progress(bench, state.entries)
        if not done.is_open(slot):
            state = move_on(bench, state, done)
            messages += series_lines(bench, state, slot)
            slot = current(bench, state)
            ask, _ = asked(bench, state)
    if ask is Ask.INSTRUMENT and slot is not None:
        key = known_instrument(bench, state, slot)
        if key is not None:
            answered = answer_instrument(bench, state, slot, key)
            title = bench.engine.features[slot.feature].title
            messages += [*answered.messages, f"{title}: measured with {key}."]
            state = answered.state
            ask, _ = asked(bench, state)
    if ask is Ask.STRIP_READY and (before is None or before[0] is not Ask.STRIP_READY):
        messages += STRIP_LINES
    return replace(step, state=state, messages=tuple(messages))
