"""What the commands do between the values."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from oilwedge.engine.model import Shape
from oilwedge.errors import Fault, InputError
from oilwedge.job.entry import Event, EventKind
from oilwedge.metrology.reading import Reading
from oilwedge.units import Dimension, find_unit
from oilwedge.usecases.importing.cells import read_temperature_c
from oilwedge.usecases.importing.names import plain
from oilwedge.usecases.importing.part_words import read_check
from oilwedge.usecases.taking.answers import answer_instrument, passed, stored
from oilwedge.usecases.taking.asking import HELP, asked, current
from oilwedge.usecases.taking.bench import Bench, Slot, progress
from oilwedge.usecases.taking.line import Command, Line, read_typed
from oilwedge.usecases.taking.state import Ask, Mode, State, Step, Tick
from oilwedge.usecases.taking.summary import set_lines, typed_lines, where_line
from oilwedge.usecases.taking.values import move_on, series_lines, take_value


def run(bench: Bench, state: State, line: Line, tick: Tick) -> Step:
    """Do what a command says; raises InputError for one that cannot be done."""
    command = line.command or Command.HELP
    action = _ACTIONS[command]
    return action(bench, state, line.rest, tick)


def _slot(bench: Bench, state: State) -> Slot:
    slot = current(bench, state)
    if slot is None:
        raise InputError(
            Fault(given="", allowed="everything planned is read", action="'back' goes to the last")
        )
    return slot


def _back(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    position = (state.position if state.position >= 0 else len(bench.slots)) - 1
    if position < 0:
        return Step(state=state, messages=("This is the first place.",))
    slot = bench.slots[position]
    old = progress(bench, state.entries).reading(slot)
    mode = Mode.REPLACE if old is not None else Mode.NEXT
    state = replace(state, position=position, mode=mode, held=None, replaces="")
    was = f"it was {old.text}" if old is not None else "nothing was read here"
    message = f"{bench.label(slot)}: {was}. Type it anew, or Enter to go on."
    return Step(state=state, messages=(message,))


def _skip(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    slot = _slot(bench, state)
    ask, subject = asked(bench, state)
    if ask in {Ask.SIZE, Ask.CONDITION}:
        return Step(state=passed(state, f"{ask.value} {subject}"))
    if ask is Ask.INSTRUMENT:
        return Step(state=replace(state, instruments={**state.instruments, slot.feature: ""}))
    if ask is Ask.STEP:
        return _moved(bench, replace(state, held=None), slot)
    if state.mode is not Mode.NEXT:
        return _moved(bench, state, slot)
    event = Event(
        id=tick.ids[0],
        kind=EventKind.SKIPPED,
        subject=slot.feature,
        number=slot.number,
        value=slot.where,
        person=state.person,
        time=tick.now,
        note=rest,
    )
    state = stored(replace(state, held=None), event)
    step = _moved(bench, state, slot)
    done = progress(bench, state.entries)
    complete = not any(done.is_open(one) for one in bench.slots if one.set == slot.set)
    result = tuple(set_lines(bench, done, slot)) if complete else ()
    return replace(step, entries=(event,), messages=(*result, *step.messages))


def _moved(bench: Bench, state: State, slot: Slot) -> Step:
    moved = move_on(bench, state, progress(bench, state.entries))
    return Step(state=moved, messages=tuple(series_lines(bench, moved, slot)))


def _correct(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    """The last reading, or the one named by id or place; with its value, or to be asked."""
    name, value = _split_correction(bench, state, rest)
    old = _named(bench, state, name)
    at = _slot_of(bench, old, state)
    there = replace(state, position=at, mode=Mode.REPLACE, replaces=old.id, held=None)
    if value:
        step = take_value(bench, there, bench.slots[at], value, tick)
        message = f"{bench.label(bench.slots[at])}: {value} in the place of {old.text}."
        return replace(step, messages=(message, *step.messages)) if step.entries else step
    message = f"{bench.label(bench.slots[at])}: it was {old.text}. Type it anew."
    return Step(state=there, messages=(message,))


def _split_correction(bench: Bench, state: State, rest: str) -> tuple[str, str]:
    """Name and value: the value is what can be read as one at the end, blanks and all."""
    words = rest.split()
    slot = current(bench, state) or bench.slots[-1]
    strip = bench.shop.strips.get(state.instruments.get(slot.feature, ""))
    for i in range(len(words)):
        text = " ".join(words[i:])
        whole_number = text.isdigit() and i == 0 and len(words) == 1 and len(text) < 3
        try:
            if not whole_number:
                read_typed(text, unit=state.unit, strip=strip)
                return " ".join(words[:i]), text
        except InputError:
            continue
    return rest, ""


def _named(bench: Bench, state: State, name: str) -> Reading:
    standing = {r.id: r for r in progress(bench, state.entries).standing.readings}
    if not name or plain(name) == "last":
        order = [e.id for e in state.entries if isinstance(e, Reading) and e.id in standing]
        last = state.last_id if state.last_id in standing else (order[-1] if order else "")
        if last:
            return standing[last]
        raise InputError(Fault(given="", allowed="nothing was read yet"))
    if name in standing:
        return standing[name]
    slot = current(bench, state) or bench.slots[-1]
    wanted = plain(name)
    found = [
        r
        for r in standing.values()
        if r.feature == slot.feature
        and wanted
        in {
            plain(text)
            for where in (f"{r.place} {r.direction}", r.place, r.direction)
            for text in (f"{r.number} {where}", where if r.number == slot.number else "")
            if text
        }
    ]
    if not found:
        raise InputError(
            Fault(
                given=name, allowed="no reading of this feature has this name", action="type list"
            )
        )
    return found[-1]


def _slot_of(bench: Bench, reading: Reading, state: State) -> int:
    spot = (reading.feature, reading.number, reading.place, reading.direction)
    places = [i for i, slot in enumerate(bench.slots) if slot.spot == spot]
    if not places:
        raise InputError(Fault(given=reading.id, allowed="this reading is not in today's plan"))
    same = progress(bench, state.entries).taken.get(spot, ())
    index = [one.id for one in same].index(reading.id)
    return places[min(index, len(places) - 1)]


def _repeat(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    at = _slot_of(bench, _named(bench, state, ""), state)
    return Step(state=replace(state, position=at, mode=Mode.REPEAT, held=None, replaces=""))


def _refit(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    slot = _slot(bench, state)
    number = state.fittings.get(slot.set, 1) + 1
    title = bench.engine.features[slot.feature].label(slot.number)
    state = replace(state, fittings={**state.fittings, slot.set: number})
    return Step(state=state, messages=(f"{title}: fitting {number}, after a refit.",))


def _zero(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    """Alone: set anew. With "passed" or "failed": a check of the zero, kept on record."""
    if rest:
        return _zero_check(bench, state, rest, tick)
    state = replace(state, setting=state.setting + 1)
    return Step(state=state, messages=("The gauge is set anew from here on.",))


def _zero_check(bench: Bench, state: State, words: str, tick: Tick) -> Step:
    result = read_check(words)
    key = state.instruments.get(_slot(bench, state).feature, "")
    if not key:
        raise InputError(
            Fault(
                given="",
                allowed="a check of the zero belongs to an instrument, and none is named",
                action="name it first, such as: instrument NAME",
            )
        )
    event = Event(
        id=tick.ids[0],
        kind=EventKind.ZERO_CHECK,
        subject=key,
        value=result,
        instrument=key,
        person=state.person,
        time=tick.now,
    )
    said = f"Zero of {key}: {result}."
    if result != "passed":
        said += " Until it passes a check, what it reads is in doubt: set it and check it again."
    return Step(state=stored(state, event), messages=(said,), entries=(event,))


def _told(state: State, *, what: str, now: str, example: str) -> Step:
    """What holds now and how to change it: the answer to a command without its word."""
    return Step(state=state, messages=(f"{what}: {now or 'not named'}. To change it: {example}.",))


def _unit(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    if not rest:
        return _told(state, what="Unit", now=state.unit, example="unit mm")
    unit = find_unit(text=rest, dimension=Dimension.LENGTH).name
    return Step(state=replace(state, unit=unit), messages=(f"Unit: {unit}.",))


def _instrument(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    slot = _slot(bench, state)
    if not rest:
        now = state.instruments.get(slot.feature, "")
        own = ", ".join(bench.shop.strips if _is_strip(bench, slot) else bench.shop.instruments)
        known = f" (the shop has {own})" if own else ""
        return _told(state, what="Instrument", now=now, example=f"instrument NAME{known}")
    step = answer_instrument(bench, state, slot, "" if plain(rest) == "none" else rest)
    key = step.state.instruments[slot.feature] or "not named"
    return replace(step, messages=(*step.messages, f"Instrument: {key}."))


def _is_strip(bench: Bench, slot: Slot) -> bool:
    return bench.engine.features[slot.feature].shape is Shape.STRIP


def _person(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    if not rest:
        return _told(state, what="Person", now=state.person, example="person NAME")
    return Step(state=replace(state, person=rest), messages=(f"Person: {rest or 'not named'}.",))


def _temperature(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    if not rest:
        now = "" if state.part_c is None else f"{state.part_c:g} °C"
        return _told(state, what="Temperature", now=now, example="temperature 21.5 C")
    word, _, value = rest.partition(" ")
    if word.casefold() not in {"part", "instrument"}:
        word, value = "", rest
    known = value.strip() and plain(value) != "none"
    given_c = read_temperature_c(value, unit=None) if known else None
    if word.casefold() != "instrument":
        state = replace(state, part_c=given_c)
    if word.casefold() != "part":
        state = replace(state, instrument_c=given_c)
    shown = "not known" if given_c is None else f"{given_c:g} °C"
    return Step(
        state=state, messages=(f"Temperature{' of the ' + word if word else ''}: {shown}.",)
    )


def _note(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    if not rest:
        raise InputError(
            Fault(given="", allowed="a note has words", action="type note and the words")
        )
    slot = current(bench, state)
    event = Event(
        id=tick.ids[0],
        kind=EventKind.NOTE,
        subject=slot.feature if slot is not None else "",
        number=slot.number if slot is not None else None,
        value=rest,
        person=state.person,
        time=tick.now,
    )
    return Step(state=stored(state, event), messages=("Noted.",), entries=(event,))


def _where(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    done = progress(bench, state.entries)
    return Step(state=state, messages=(where_line(bench, done, current(bench, state)),))


def _list(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    slot = current(bench, state) or bench.slots[-1]
    return Step(
        state=state, messages=tuple(typed_lines(bench, progress(bench, state.entries), slot))
    )


def _stop(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    return Step(state=replace(state, ended=True, held=None))


def _help(bench: Bench, state: State, rest: str, tick: Tick) -> Step:
    slot = current(bench, state)
    feature = bench.engine.features[slot.feature] if slot is not None else None
    how = (f"How: {feature.how}.",) if feature is not None and feature.how else ()
    return Step(state=state, messages=(*how, *HELP))


_ACTIONS: Mapping[Command, Callable[[Bench, State, str, Tick], Step]] = {
    Command.BACK: _back,
    Command.SKIP: _skip,
    Command.CORRECT: _correct,
    Command.REPEAT: _repeat,
    Command.REFIT: _refit,
    Command.ZERO: _zero,
    Command.UNIT: _unit,
    Command.INSTRUMENT: _instrument,
    Command.PERSON: _person,
    Command.TEMPERATURE: _temperature,
    Command.NOTE: _note,
    Command.WHERE: _where,
    Command.LIST: _list,
    Command.STOP: _stop,
    Command.HELP: _help,
}
