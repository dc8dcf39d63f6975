"""The words of a plan: cautions, things to tick off, and values as text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from oilwedge.engine.layout import Caps, Layout, LayoutKind
from oilwedge.engine.model import Engine, Feature, Fit
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument, InstrumentKind
from oilwedge.units import format_length
from oilwedge.usecases.limit_meaning import limit_meaning
from oilwedge.usecases.planning.plan import Measurement, Stage

MANUAL_FIRST = (
    "The engine maker's manual, local rules and licensed practice come first. Where this plan "
    "and the manual differ, follow the manual."
)

GENERAL_ONLY = (
    "No instrument of your own is listed: general ones of each kind stand in, with figures that "
    "are common practice and have no source. List your own in a shop file."
)

CAUTIONS: Mapping[Stage, tuple[str, ...]] = {
    Stage.MARKS: (
        "Engine blocks and crankshafts are heavy: lift with a hoist that is rated for them and "
        "never stand or reach under a hanging load. Chock the engine on its stand.",
    ),
    Stage.CLEANING: (
        "Solvent vapour burns and harms lungs and skin: open the doors, no flame or spark, gloves "
        "and eye protection. Air from a nozzle goes through skin: never towards a person. "
        "Rags with solvent go into a closed metal bin.",
    ),
    Stage.CRANKSHAFT: (
        "A crankshaft rolls: chock it, or lay it on V-blocks, before you let go of it.",
    ),
    Stage.HOUSINGS: (
        "Bolts under torque can break: pull the wrench towards you with a firm stand and your "
        "face out of line. Bolts that the maker allows once only are not used for the final "
        "assembly after a trial.",
    ),
    Stage.WALLS: ("Edges of shells are sharp. Fingerprints rust: wear thin gloves.",),
    Stage.SHELL_BORES: (
        "Edges of shells are sharp, and cap and housing pinch. Wipe the backs of shells and "
        "their housings dry and clean: one hair behind a shell takes the whole clearance.",
    ),
    Stage.CYLINDERS: (
        "Edges of rings and of a freshly honed bore are sharp; springs of clips fly.",
    ),
    Stage.HEAD: ("Valve springs are under load: use a spring compressor and eye protection.",),
    Stage.CRANK_IN: (
        "The crank is heavy and its edges scratch shells: lower it with a hoist or two people, "
        "fingers out from between crank and block.",
        "A crank can turn by itself: hands out of the case before anyone turns it.",
    ),
    Stage.RODS: (
        "A crank turns by itself when a throw or piston comes over the top: one person turns, "
        "says so first, and all hands are out of the case.",
        "Nothing turns while a strip is in: it smears and says nothing.",
    ),
    Stage.PISTONS: (
        "A crank turns by itself when a throw comes over the top: all hands off the deck and out "
        "of the case while it is turned.",
    ),
}

CHECKS: Mapping[Stage, tuple[str, ...]] = {
    Stage.CLEANING: (
        "Clean every part; threads and oil ways brushed out and blown through; gasket faces "
        "scraped.",
        "Look for cracks before measuring: crankshaft (fillets, oil holes), rods, caps, block "
        "webs and deck, head; dye or magnetic powder as the maker says. A cracked part is not "
        "measured.",
        "After magnetic powder the crankshaft is demagnetised and washed again.",
        "Bend, twist and burnt colour of rods and crankshaft are looked for.",
        "Faces dry and without oil film before a gauge touches them.",
    ),
    Stage.WARMING: (
        "Parts and instruments lie in the same room until they are equally warm: several hours "
        "for a block, best overnight; out of sun and draught.",
        "Room temperature written down; 20 °C is the reference. Part and instrument each get "
        "their own figure where a thermometer is at hand.",
        "Hold micrometers by their insulated part, or in a stand.",
    ),
    Stage.CRANKSHAFT: (
        "Crankshaft on V-blocks at its end mains, or as the maker says.",
        "Journals wiped dry; stay clear of fillets and oil holes.",
    ),
    Stage.HOUSINGS: (
        "Shells out, seats and joint faces clean.",
        "Each cap on its own seat, right way round; threads oiled as for final; full torque in "
        "stages.",
    ),
    Stage.WALLS: ("Read at the crown with the ball on the running face, beside any groove.",),
    Stage.SHELL_BORES: (
        "Backs of shells and their seats dry; running faces dry; lug in its slot; oil hole over "
        "oil hole.",
        "Caps at full torque in stages, threads oiled as for final.",
        "Read square to the split only: shells are thinner towards the split on purpose.",
    ),
    Stage.CYLINDERS: (
        "Each ring is read in the cylinder that it will run in, squared with a piston.",
        "Piston skirts are read at the height that the maker gives, square to the pin.",
    ),
    Stage.CRANK_IN: (
        "Engine inverted, so that the crank lies in the block's shells; if it cannot be inverted, "
        "the crank is supported from below and does not hang on the caps.",
        "Running faces dry: no oil, no assembly paste where a strip goes.",
        "Each main cap in turn: strip along the journal beside the oil hole, cap at full torque, "
        "nothing turned, cap off straight up, widest place read against the bars.",
        "Every trace of strip wiped off before the next step.",
    ),
    Stage.RODS: (
        "Start with cylinder 1 at top dead centre: position 0.",
        "Running faces dry; rod held so that it cannot swing while its cap is tightened.",
        "At each position, for each rod in reach: cap off, strip along the pin, cap on in its own "
        "place and direction, full torque, cap off, strip read and wiped off; side clearance "
        "last.",
    ),
    Stage.PISTONS: (
        "Each piston is brought up in the normal direction of rotation, which takes up the play.",
    ),
    Stage.CLOSING: (
        "Every doubtful fit is named: right, wrong, or cannot tell.",
        "All strip, paint marks and dust wiped away; oil ways blown through once more.",
        "Caps, rods and pistons: numbers and directions checked a second time.",
        "Bolts that may be used once only are new.",
    ),
}


_DECIMALS = {"mm": 3, "in": 4, "µm": 0, "thou": 1}


def length_text(value_m: float, unit: str) -> str:
    """A limit or size: to 0.001 mm or 0.0001 in."""
    return format_length(value_m=value_m, unit=unit, decimals=_DECIMALS[unit])


def fine_text(value_m: float, unit: str) -> str:
    """An uncertainty: one digit more than a limit."""
    return format_length(value_m=value_m, unit=unit, decimals=_DECIMALS[unit] + 1)


def rough_text(value_m: float, unit: str) -> str:
    """A size to choose an instrument by: one digit less than a limit, so that it judges nothing."""
    return format_length(value_m=value_m, unit=unit, decimals=max(0, _DECIMALS[unit] - 1))


def range_text(low_m: float | None, high_m: float | None, unit: str) -> str:
    """Two limits as "0.021 to 0.049 mm"; "at least" or "at most" with one; empty without."""
    if low_m is None and high_m is None:
        return ""
    if low_m is None or high_m is None:
        side, value = ("at most", high_m) if low_m is None else ("at least", low_m)
        return "" if value is None else f"{side} {length_text(value, unit)}"
    low = length_text(low_m, unit).removesuffix(f" {unit}")
    return f"{low} to {length_text(high_m, unit)}"


def degrees_text(angle_deg: float) -> str:
    """An angle to a tenth of a degree, and no more digits than it needs: "90°", "22.5°"."""
    return f"{round(angle_deg, 1):g}°"


_EACH_CAP = next(one for one in CHECKS[Stage.CRANK_IN] if one.startswith("Each main cap"))
_INVERTED = next(one for one in CHECKS[Stage.CRANK_IN] if one.startswith("Engine inverted"))


# A split case has no caps: its halves hold the crank between them (common practice, no source).
_SPLIT_CASE = (
    "Crankcase halves apart, one half on its stand with the joint face up and the crank lying in "
    "that half's shells; where the engine has main caps instead, they face up."
)


def checks_for(stage: Stage, engine: Engine) -> tuple[str, ...]:
    """What is ticked off at a stage. Caps in one piece come off together, and so do the strips."""
    checks, layout = CHECKS.get(stage, ()), engine.layout
    other = {}
    if layout.kind is LayoutKind.FLAT:
        other[_INVERTED] = _SPLIT_CASE
        other[_EACH_CAP] = _all_strips("other half of the case, or the caps,")
    if layout.caps is not Caps.SEPARATE:
        other[_EACH_CAP] = _all_strips(layout.caps.value)
    return tuple(other.get(one, one) for one in checks)


def _all_strips(closing: str) -> str:
    return (
        f"A strip along every main journal beside the oil hole, the {closing} on at full "
        "torque in the maker's order, nothing turned, off straight up, each widest place read "
        "against the bars."
    )


def is_general(instrument: Instrument) -> bool:
    """Whether an instrument stands for its kind, because the shop names none."""
    return instrument == GENERIC_INSTRUMENTS.get(instrument.key)


def with_article(instrument: Instrument) -> str:
    """ "the bore gauge 35 to 50" of the shop, "a bore gauge" where none is named."""
    general = is_general(instrument)
    return f"a {instrument.kind.value}" if general else f"the {instrument.title}"


def limits_text(fit: Fit, unit: str) -> str:
    """Build and service limits of one number of a fit."""
    build = range_text(fit.low_m, fit.high_m, unit)
    service = range_text(fit.service_low_m, fit.service_high_m, unit)
    parts = [f"build {build}" if build else "", f"service {service}" if service else ""]
    figures = "; ".join(part for part in parts if part)
    meaning = limit_meaning(fit)
    return f"{figures}; {meaning}" if figures and meaning else figures or "no limits given"


def numbers_text(numbers: Sequence[int]) -> str:
    """ "1", "1 and 4", "1 to 4", "1, 3 and 5"."""
    if len(numbers) > 2 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]} to {numbers[-1]}"
    return joined([str(number) for number in numbers])


def joined(words: Sequence[str]) -> str:
    """Words with commas and a last "and"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def feature_text(feature: Feature) -> str:
    """The title with its numbers: "rod journal 1 to 4"."""
    return (
        feature.title if feature.count == 1 else f"{feature.title} {numbers_text(feature.numbers)}"
    )


def direction_text(direction: str) -> str:
    """A direction in words that stand by themselves."""
    return "square to the split" if direction == "square" else direction


def where_text(one: Measurement) -> str:
    """Places and directions in words, with the number of readings they make."""
    parts = []
    if one.places:
        parts.append(joined(one.places))
    if one.directions:
        parts.append(joined([direction_text(direction) for direction in one.directions]))
    if one.feature.measured_at:
        parts.append(one.feature.measured_at)
    count = one.readings_each
    parts.append(f"{count} reading{'s' if count > 1 else ''} each")
    return "\n".join(parts)


def instrument_text(one: Measurement, unit: str) -> str:
    """The instrument's title, or what is missing from the list."""
    if one.instrument is not None:
        return one.instrument.title
    kind = one.feature.instrument or "instrument"
    if kind == InstrumentKind.STRIP.value:
        return "strip, see above"
    size = one.feature.nominal_m
    for_size = f" for {length_text(size, unit)}" if size is not None else ""
    return f"none on the list: a {kind}{for_size} is needed"


def zero_checks(instruments: Sequence[Instrument]) -> tuple[str, ...]:
    """One line for each instrument with a zero that can be off."""
    lines = []
    for one in instruments:
        if one.kind in {InstrumentKind.STRIP, InstrumentKind.FEELER, InstrumentKind.RULER}:
            continue
        against = {
            InstrumentKind.MICROMETER: "zero closed, or on its setting piece",
            InstrumentKind.BALL_MICROMETER: "zero closed, ball on anvil",
            InstrumentKind.INSIDE_MICROMETER: "zero in its setting ring",
            InstrumentKind.BORE_GAUGE: "zero in the micrometer or ring it was set in",
            InstrumentKind.CALIPER: "zero with the jaws closed",
            InstrumentKind.DEPTH_GAUGE: "zero on a flat plate",
            InstrumentKind.DIAL_GAUGE: "stand tight, back to the same figure three times",
        }.get(one.kind, "zero against its reference")
        lines.append(f"{one.title}: {against}; passed or failed written down.")
    return tuple(lines)


def layout_pairs(layout: Layout) -> tuple[tuple[str, str], ...]:
    """What a page says first of an engine's layout: name and value of each line."""
    return (
        ("Layout", f"{layout.kind.value}, {layout.cylinders} cylinders"),
        ("Numbering", layout.numbering),
        ("Firing order", "-".join(str(n) for n in layout.firing_order)),
    )


def mark_rows(engine: Engine) -> tuple[tuple[str, str, str], ...]:
    """For each cap, rod and piston: its name, its number to check, its direction to check."""
    layout, marks = engine.layout, engine.marks
    rows: list[tuple[str, str, str]] = []
    main = marks.main_caps or "mark to the front"
    if layout.caps is Caps.SEPARATE:
        rows += [
            (f"main cap {n}", f"{n} on cap and block", main)
            for n in range(1, layout.main_bearings + 1)
        ]
    else:
        rows.append((layout.caps.value, "belongs to this block", main))
    rod = marks.rod_caps or "mark to the front"
    piston = marks.pistons or "mark to the front"
    for n in range(1, layout.cylinders + 1):
        rows.append((f"rod and cap {n}", f"{n} on rod and cap, same side", rod))
    for n in range(1, layout.cylinders + 1):
        rows.append((f"piston {n}", f"{n}; goes with rod {n}", piston))
    return tuple(rows)
