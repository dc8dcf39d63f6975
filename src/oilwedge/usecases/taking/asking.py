"""What is asked next, and in which words."""

from __future__ import annotations

from oilwedge.engine.model import Feature, Shape
from oilwedge.fits.limits import Condition
from oilwedge.metrology.instrument import Instrument
from oilwedge.usecases.taking.bench import Bench, Progress, Slot, has_steps, parts_to_ask, progress
from oilwedge.usecases.taking.state import Ask, Mode, State

HELP = (
    "Type what the instrument shows and press Enter; a unit goes behind it (47.97 mm, 1.8886 in).",
    "A deviation from nominal has a sign (-12 um); a bound is <0.025 or >0.10; a strip may be",
    "'wider than the widest bar', 'not flattened', or 'width 1.45 mm'.",
    "  back (b)          to the place before, to read it anew",
    "  skip (s) [why]    leave this place out",
    "  correct (c) [which] [value]   the last reading, or one that is named, was misread",
    "  repeat (r)        read the last place once more",
    "  refit (f)         it was taken off, cleaned and put back",
    "  zero (z)          the gauge was set anew; zero passed, zero failed: its zero was checked",
    "  unit (u), instrument (i), person (p), temperature (t)   remembered from here on",
    "  note (n) text     keep a remark",
    "  where (w), list (l)   how far this is; what was typed for this set",
    "  stop (q)          stop; the same command goes on here",
)
STRIP_LINES = (
    "Before the strip:",
    "  - running faces wiped dry, a thread of strip along the journal, clear of the oil hole",
    "  - threads and bolt heads oiled as for final assembly, cap its own and the right way round",
    "  - crank lying in the block's shells (engine upside down) or held up against them",
    "  - nothing is turned until the cap is off again",
)


def current(bench: Bench, state: State) -> Slot | None:
    """The slot that the next value belongs to; None when the plan is done."""
    if 0 <= state.position < len(bench.slots):
        return bench.slots[state.position]
    return None


def next_open(bench: Bench, done: Progress, *, after: int) -> int:
    """Position of the next open slot, from ``after`` on and then from the front; -1 for none."""
    slots = bench.slots
    start = min(max(after, 0), len(slots))
    order = (*range(start, len(slots)), *range(start))
    return next((i for i in order if done.is_open(slots[i])), -1)


def asked(bench: Bench, state: State) -> tuple[Ask, str]:
    """The question that is open now, with its subject (part) where it has one."""
    if state.held is not None:
        return state.held.ask, ""
    slot = current(bench, state)
    if slot is None:
        return Ask.END, ""
    feature = bench.engine.features[slot.feature]
    done = progress(bench, state.entries)
    unsized = has_steps(feature) and slot.set not in done.standing.steps_m
    if unsized and f"size {slot.feature}" not in state.passed:
        return Ask.SIZE, slot.feature
    for part in parts_to_ask(bench, slot):
        unstated = done.standing.condition(part=part, number=slot.number) is Condition.UNSTATED
        if unstated and f"condition {part}" not in state.passed:
            return Ask.CONDITION, part
    if slot.feature not in state.instruments:
        return Ask.INSTRUMENT, slot.feature
    if feature.shape is Shape.STRIP and f"strip {slot.feature}" not in state.passed:
        return Ask.STRIP_READY, slot.feature
    return (Ask.VALUE, "") if state.unit else (Ask.UNIT, slot.feature)


def prompt(bench: Bench, state: State) -> str:
    """What stands before the cursor."""
    ask, subject = asked(bench, state)
    slot = current(bench, state)
    if slot is None or ask is Ask.END:
        return ""
    title = bench.engine.features[slot.feature].title
    part = bench.engine.part_titles.get(subject, subject)
    held = state.held
    questions = {
        Ask.SIZE: f"{title}: which size is it at now? (standard, 0.25 mm under, reading) > ",
        Ask.CONDITION: f"{part}: new, machined or re-used? (n, m, r) > ",
        Ask.INSTRUMENT: f"{title}: measured with? ({_choices(bench, slot)}) > ",
        Ask.STRIP_READY: "all of this is so? (yes) > ",
        Ask.UNIT: f"unit? (mm, in, thou, um; Enter: {usual_unit(bench, state, slot)}) > ",
        Ask.SIGN: "larger or smaller than zero? (l, s; with whole turns: l 1) > ",
        Ask.TURN: "how much is one turn of the pointer? (such as 1 mm) > ",
        Ask.CONFIRM: "type it again, or yes to keep it > ",
        Ask.STEP: f"{title}: is it {held.step_text if held else ''}? (yes, or the size) > ",
    }
    if ask in questions:
        return questions[ask]
    mode = {Mode.NEXT: "", Mode.REPLACE: " (anew)", Mode.REPEAT: " (once more)"}[state.mode]
    series = f" [{slot.series}/{bench.repeats}]" if bench.repeats > 1 else ""
    unit = f" {state.unit}" if state.unit else ""
    return f"{bench.label(slot)}{series}{mode}{unit} > "


def usual_unit(bench: Bench, state: State, slot: Slot) -> str:
    """What the instrument in hand shows, else what the engine file writes the feature in."""
    instrument = bench.shop.instruments.get(state.instruments.get(slot.feature, ""))
    if instrument is not None and instrument.key != instrument.kind.value:
        return instrument.unit
    return bench.engine.features[slot.feature].unit


def _choices(bench: Bench, slot: Slot) -> str:
    feature = bench.engine.features[slot.feature]
    if feature.shape is Shape.STRIP:
        names = list(bench.shop.strips)
        return ", ".join(names) if names else "Enter: a strip, not named"
    names = [one.key for one in fitting_instruments(bench, feature)]
    usual = feature.instrument or "instrument"
    return ", ".join([*names, f"Enter: a {usual}, not named"] if names else [f"Enter: a {usual}"])


def fitting_instruments(bench: Bench, feature: Feature) -> tuple[Instrument, ...]:
    """Instruments of the shop's own of the usual kind, whose range holds the nominal size."""
    return tuple(
        one
        for one in bench.shop.instruments.values()
        if one.key != one.kind.value and suits(one, feature)
    )


def suits(instrument: Instrument, feature: Feature) -> bool:
    """Whether kind and range fit a feature."""
    if feature.instrument and instrument.kind.value != feature.instrument:
        return False
    return instrument.spans(feature.reference_m)
