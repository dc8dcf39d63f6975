"""The films of an engine in plain words, for a mechanic to read."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from oilwedge.fits.verdict import State
from oilwedge.units import format_number
from oilwedge.usecases.film_cycle_answer import HOTTEST_OIL_C, BearingFilm, EngineFilm

if TYPE_CHECKING:
    from oilwedge.engine.running import Condition
    from oilwedge.film.virtual_builds import Band, BuildBand

__all__ = [
    "NOT_OVERRULED",
    "ROUND_PARTS",
    "band_text",
    "bearing_sentence",
    "change_text",
    "engine_sentences",
    "film_text",
    "listed",
    "percent_change",
]

NOT_OVERRULED = "It compares clearances and oils; it does not overrule the maker's limits."
ROUND_PARTS = (
    "The films are those of rigid, round and parallel parts with the measured mean clearance, at"
    " steady speed, in new and clean oil; housing and crank take no heat away. Dirt, a bent rod, a"
    " worn edge or a late oil pressure decide as much and are not in them."
)
ABOUT_THE_SAME = 0.03  # less of a difference says nothing
TELLING_WARMTH_K = 10.0
TELLING_SHAPE = 0.25  # of the film: a shape that takes less is not spoken of
TELLING_OUTSIDE = 0.02  # of the builds without an answer
_SOUND = (State.RIGHT, State.NO_LIMITS)


def film_text(film_m: float) -> str:
    """A film in µm; two decimals under 1 µm."""
    value = film_m * 1e6
    return f"{format_number(value=value, decimals=1 if value >= 0.995 else 2)} µm"


def band_text(band: Band) -> str:
    """The middle 95 % of the virtual builds: "0.9 to 1.7 µm"; its lower end may be a bound."""
    if band.low_is_bound:
        return f"{film_text(band.high)} down to under {film_text(band.low)}"
    return f"{film_text(band.low).removesuffix(' µm')} to {film_text(band.high)}"


def change_text(change: float | None) -> str:
    """A film against that at mid-limit: "18 % thinner"; empty where there is none."""
    if change is None:
        return ""
    if abs(change) < ABOUT_THE_SAME:
        return "about as thick"
    if change > 1.0:
        return f"{format_number(value=1.0 + change, decimals=1)} times as thick"
    return f"{abs(change) * 100:.0f} % {'thinner' if change < 0.0 else 'thicker'}"


def listed(names: Sequence[str]) -> str:
    """Names as one phrase."""
    return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else names[0]


def bearing_sentence(one: BearingFilm, *, condition: Condition) -> str:
    """What one bearing does, beside the same bearing at mid-limit, and what moves it most."""
    first = (
        f"At {condition.name}, {one.load.title} runs on {film_text(one.minimum_film_m)} at the"
        f" thinnest{_beside_middle(one)}."
    )
    parts = [
        _matters(one.band),
        _heat_words(one),
        *_shape_words(one),
        *_reference_words(one),
        *_verdict_words(one),
    ]
    return " ".join([first, *(part for part in parts if part)])


def _beside_middle(one: BearingFilm) -> str:
    change = one.change_from_mid_limit
    if change is None:
        return ""
    text = change_text(change)
    than = "as" if text.endswith("as thick") else "than"
    return f", {text} {than} at the middle of the limits"


def _matters(band: BuildBand | None) -> str:
    """What of all that is not known for sure moves the film most."""
    from oilwedge.film.virtual_builds import Factor

    if band is None:
        return ""
    words = {
        Factor.CLEARANCE: "the clearance moves it most, not the oil",
        Factor.VISCOSITY: "the oil moves it most, not the clearance",
        Factor.SUPPLY_TEMPERATURE: "the oil's temperature moves it most, not the clearance",
        Factor.GAS_PRESSURE: "the pressure of firing moves it most, not the clearance",
        Factor.MASS: "the masses of piston and rod move it most, not the clearance",
    }[band.matters_most]
    found = band_text(band.minimum_film_m)
    return f"With all that is not known for sure it is {found}; {words}."


def _heat_words(one: BearingFilm) -> str:
    """A film that is much warmer or cooler than at mid-limit."""
    if one.overheats:
        return (
            f"Its film runs at {one.film.film_temperature_c:.0f} °C and its oil would leave at"
            f" {one.film.outlet_temperature_c:.0f} °C, past the {HOTTEST_OIL_C:.0f} °C at which"
            " the laws of an oil end: expect it to overheat; its film is no answer to lean on."
        )
    if one.at_mid_limit is None:
        return ""
    warm_c = one.film.film_temperature_c
    warmer_k = warm_c - one.at_mid_limit.film_temperature_c
    if abs(warmer_k) < TELLING_WARMTH_K:
        return ""
    side = "warmer" if warmer_k > 0.0 else "cooler"
    return (
        f"Its film runs at {warm_c:.0f} °C, {abs(warmer_k):.0f} K {side} than at the middle of the"
        " limits."
    )


def _shape_words(one: BearingFilm) -> list[str]:
    if one.shape_gap_m < TELLING_SHAPE * one.minimum_film_m:
        return []
    shape = one.shape
    found = [
        (abs(shape.journal_taper_m), "taper"),
        (shape.journal_out_of_round_m, "out-of-round"),
        (abs(shape.journal_barrel_m), "barrel" if shape.journal_barrel_m > 0.0 else "hourglass"),
    ]
    parts = [f"{name} {film_text(size)}" for size, name in found if size > 0.5e-6]
    if not parts:
        return []
    form = (
        f"Its measured form ({listed(parts)}) takes up to {film_text(one.shape_gap_m)} off the gap"
    )
    if one.may_touch:
        return [
            f"{form} where it is narrowest, about the film itself or more: there the parts may"
            " touch, and the figure for round parts does not stand."
        ]
    return [f"{form} where it is narrowest, which the figure for round parts does not show."]


def _reference_words(one: BearingFilm) -> list[str]:
    reference = one.reference
    if reference is None:
        return []
    words = []
    quick = one.minimum_film_m
    if reference.film is not None:
        film = reference.film.minimum_film_m
        words.append(
            f"The reference route gives {_close(film)} for the same round parts and the quick one"
            f" {_close(quick)} ({_signed(quick / film - 1.0)})."
        )
    if reference.mass_conserving is not None:
        film = reference.mass_conserving.minimum_film_m
        words.append(
            f"A film that has to keep its oil, drawn in at the ends, gets down to {_close(film)}"
            f" ({_signed(film / quick - 1.0)}); some per cent of that may be the grid's."
        )
    if reference.shaped is not None:
        film = reference.shaped.minimum_film_m
        beside = reference.film.minimum_film_m if reference.film is not None else quick
        words.append(
            "With taper, barrel and out-of-round as measured and the relief of the shells it is"
            f" {_close(film)} ({_signed(film / beside - 1.0)})."
        )
    return words + [f"{text[:1].upper()}{text[1:]}" for text in reference.notes]


def _close(film_m: float) -> str:
    """With the digits that a comparison of routes needs."""
    return f"{format_number(value=film_m * 1e6, decimals=2)} µm"


def _signed(change: float) -> str:
    return f"{change * 100:+.1f} %".replace("-", "−")


def _verdict_words(one: BearingFilm) -> list[str]:
    """A film never makes a wrong clearance right."""
    if one.state in _SOUND and one.stands:
        return []
    return [f"Its verdict stays: {one.state.value}."]


def engine_sentences(film: EngineFilm) -> tuple[str, ...]:
    """What it comes to for all bearings: the thinnest, those that differ, those left out."""
    return (
        *_thinnest_words(film),
        *_against_middle(film),
        *_under_chosen(film),
        *_no_answer_to_lean_on(film),
        *_left_out_words(film),
    )


def _no_answer_to_lean_on(film: EngineFilm) -> list[str]:
    """Bearings whose oil would overheat, whose form may touch, or that many builds leave open."""
    words = []
    hot = [one.load.title for one in film.bearings if one.overheats]
    if hot:
        words.append(
            f"Expect overheating: {listed(hot)}; the oil would leave hotter than"
            f" {HOTTEST_OIL_C:.0f} °C."
        )
    touching = [one.load.title for one in film.bearings if one.may_touch]
    if touching:
        words.append(
            f"By their measured form the parts may touch, whatever the film of round parts:"
            f" {listed(touching)}."
        )
    for one in film.bearings:
        if one.band is not None and one.band.outside > TELLING_OUTSIDE * film.draws:
            share = 100.0 * one.band.outside / film.draws
            words.append(
                f"{one.load.title[0].upper()}{one.load.title[1:]}: in {share:.0f} % of the engines"
                " that the readings could mean the film is thinner or hotter than can be computed."
            )
    return words


def _thinnest_words(film: EngineFilm) -> list[str]:
    least = film.thinnest
    if least is None:
        return [f"At {film.condition.name} no bearing has an answer."]
    sentence = (
        f"At {film.condition.name} with {film.oil_name}, {least.load.title} has the thinnest film"
        f" of {_count(len(film.bearings))}: {film_text(least.minimum_film_m)}"
    )
    if least.thinnest_share is not None:
        sentence += (
            f"; it is the thinnest in {least.thinnest_share * 100:.0f} % of the engines that the"
            " readings could mean"
        )
    return [f"{sentence}."]


def _count(number: int) -> str:
    return "the one with an answer" if number == 1 else f"the {number} with an answer"


def _against_middle(film: EngineFilm) -> list[str]:
    known = [
        (one, one.change_from_mid_limit)
        for one in film.bearings
        if one.change_from_mid_limit is not None
    ]
    if not known:
        return []
    thinner = [(one, c) for one, c in known if c is not None and c <= -ABOUT_THE_SAME]
    thicker = [(one, c) for one, c in known if c is not None and c >= ABOUT_THE_SAME]
    words = []
    for some, name in ((thinner, "Thinner"), (thicker, "Thicker")):
        if some:
            each = [f"{one.load.title} ({percent_change(change)})" for one, change in some]
            words.append(f"{name} than at the middle of the limits: {listed(each)}.")
    same = len(known) - len(thinner) - len(thicker)
    if same == len(known):
        words.append("All run on about the film that the middle of the limits gives.")
    elif same:
        count = "The other one runs" if same == 1 else f"The other {same} run"
        words.append(f"{count} on about the film that the middle of the limits gives.")
    return words


def percent_change(change: float) -> str:
    """A change in whole per cent with its sign: "−18 %"."""
    whole = round(change * 100)
    return f"{whole:+d} %".replace("-", "−") if whole else "0 %"


def _under_chosen(film: EngineFilm) -> list[str]:
    under = [one for one in film.bearings if one.film.share_below_chosen > 0.0]
    if not under:
        return []
    each = [
        f"{one.load.title} ({max(1.0, one.film.share_below_chosen * 100):.0f} % of the cycle)"
        for one in under
    ]
    return [f"Under {film_text(film.chosen_film_m)} ({film.chosen_from}): {listed(each)}."]


def _left_out_words(film: EngineFilm) -> list[str]:
    return [f"No answer for {one.title}: {one.why}." for one in film.left_out]
