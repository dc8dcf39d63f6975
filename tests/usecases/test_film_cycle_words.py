"""The films of an engine in plain words: which way it goes, by how much, what it does not say."""

from __future__ import annotations

from dataclasses import replace

import pytest

from oilwedge.film.build_sample import Factor
from oilwedge.film.film_shape import FilmShape
from oilwedge.fits.verdict import State
from oilwedge.usecases.film_cycle_answer import BearingFilm, LeftOut, ReferenceFilm
from oilwedge.usecases.film_cycle_words import (
    band_text,
    bearing_sentence,
    change_text,
    engine_sentences,
    film_text,
)

from .film_cycle_made_up import FULL_LOAD, UM, bearing_film, build_band, engine_film


def said(one: BearingFilm) -> str:
    return bearing_sentence(one, condition=FULL_LOAD)


def test_sentence_of_a_bearing_reads_as_a_mechanic_speaks() -> None:
    assert said(bearing_film()) == (
        "At full load, big end 2 runs on 1.3 µm at the thinnest, 19 % thinner than at the middle of"
        " the limits. With all that is not known for sure it is 0.91 to 1.7 µm; the clearance moves"
        " it most, not the oil."
    )


def test_film_over_that_of_the_middle_is_called_thicker() -> None:
    assert "25 % thicker than at the middle of the limits" in said(
        bearing_film(film_um=2.0, middle_um=1.6)
    )


@pytest.mark.parametrize("film_um", [0.975, 1.0, 1.025])
def test_difference_too_small_to_mean_anything_is_not_a_difference(film_um: float) -> None:
    text = said(bearing_film(film_um=film_um, middle_um=1.0))
    assert "about as thick as at the middle" in text


@pytest.mark.parametrize("film_um", [0.2, 0.5, 0.9, 1.1, 1.7, 4.0])
def test_words_never_say_the_wrong_way_round(film_um: float) -> None:
    text = change_text(film_um - 1.0)
    assert ("thinner" in text) == (film_um < 1.0)
    assert ("thicker" in text or "times as thick" in text) == (film_um > 1.0)


def test_more_than_twice_the_film_is_told_as_so_many_times_the_other() -> None:
    assert change_text(3.2 / 1.0 - 1.0) == "3.2 times as thick"
    assert change_text(1.9 / 1.0 - 1.0) == "90 % thicker"


def test_without_both_limits_nothing_is_compared() -> None:
    assert "limits" not in said(bearing_film(middle_um=None))


@pytest.mark.parametrize("factor", list(Factor))
def test_what_moves_it_most_is_named(factor: Factor) -> None:
    words = {
        Factor.CLEARANCE: "the clearance moves it most, not the oil",
        Factor.VISCOSITY: "the oil moves it most, not the clearance",
        Factor.SUPPLY_TEMPERATURE: "the oil's temperature moves it most",
        Factor.GAS_PRESSURE: "the pressure of firing moves it most",
        Factor.MASS: "the masses of piston and rod move it most",
    }
    assert words[factor] in said(bearing_film(most=factor))


def test_without_draws_nothing_is_said_about_what_is_not_known() -> None:
    assert "not known" not in said(replace(bearing_film(), band=None))


@pytest.mark.parametrize("state", [State.TOO_TIGHT, State.TOO_LOOSE, State.PAST_SERVICE])
def test_thick_film_never_overrules_a_bad_verdict(state: State) -> None:
    text = said(bearing_film(film_um=9.0, state=state))
    assert text.endswith(f"Its verdict stays: {state.value}.")


def test_right_bearing_needs_no_such_word() -> None:
    assert "verdict" not in said(bearing_film(state=State.RIGHT))


@pytest.mark.parametrize(
    ("warm_c", "words"),
    [
        (192.0, "Its film runs at 192 °C, 71 K warmer than at the middle of the limits."),
        (101.0, "Its film runs at 101 °C, 20 K cooler than at the middle of the limits."),
    ],
)
def test_film_much_warmer_or_cooler_is_told(warm_c: float, words: str) -> None:
    one = bearing_film()
    assert words in said(replace(one, film=replace(one.film, film_temperature_c=warm_c)))
    assert "K warmer" not in said(one)


def test_taper_that_takes_much_of_the_film_is_told() -> None:
    tapered = bearing_film(shape=FilmShape(journal_taper_m=8e-6), shape_gap_um=2.0)
    assert "Its measured form (taper 8.0 µm) takes up to 2.0 µm off the gap" in said(tapered)
    assert "form" not in said(
        bearing_film(shape=FilmShape(journal_taper_m=0.8e-6), shape_gap_um=0.2)
    )


def test_reference_route_stands_beside_the_quick_one_with_its_difference() -> None:
    class Stub:
        def __init__(self, film_um: float) -> None:
            self.minimum_film_m = film_um * UM

    reference = ReferenceFilm(
        film=Stub(1.25),  # type: ignore[arg-type]
        mass_conserving=Stub(1.17),  # type: ignore[arg-type]
        shaped=Stub(1.0),  # type: ignore[arg-type]
        notes=("for parts as measured it says no more.",),
    )
    text = said(replace(bearing_film(), reference=reference))
    assert "gives 1.25 µm for the same round parts and the quick one 1.30 µm (+4.0 %)" in text
    assert "keep its oil, drawn in at the ends, gets down to 1.17 µm (−10.0 %)" in text
    assert "relief of the shells it is 1.00 µm (−20.0 %)" in text
    assert "For parts as measured it says no more." in text


def test_engine_names_the_thinnest_and_what_differs() -> None:
    film = engine_film(
        bearing_film("rod 1", film_um=1.6, middle_um=1.6),
        bearing_film("rod 2", film_um=1.2, middle_um=1.6),
        bearing_film("main 1", film_um=3.0, middle_um=2.5),
    )
    assert engine_sentences(film) == (
        "At full load with 10W-40, big end 2 has the thinnest film of the 3 with an answer: 1.2 µm;"
        " it is the thinnest in 80 % of the engines that the readings could mean.",
        "Thinner than at the middle of the limits: big end 2 (−25 %).",
        "Thicker than at the middle of the limits: main bearing 1 (+20 %).",
        "The other one runs on about the film that the middle of the limits gives.",
    )


def test_bearing_without_answer_is_named_with_its_reason() -> None:
    film = engine_film(
        bearing_film(), left_out=(LeftOut(key="rod 3", title="big end 3", why="not measured"),)
    )
    assert engine_sentences(film)[-1] == "No answer for big end 3: not measured."


def test_engine_without_any_answer_says_so() -> None:
    lost = LeftOut(key="rod 3", title="big end 3", why="not measured")
    assert engine_sentences(engine_film(left_out=(lost,)))[0] == (
        "At full load no bearing has an answer."
    )


def test_bearing_under_the_chosen_film_is_told_with_its_share() -> None:
    film = engine_film(bearing_film("rod 1", film_um=0.4, middle_um=None))
    told = [text for text in engine_sentences(film) if text.startswith("Under")]
    assert told == ["Under 1.0 µm (rule of thumb, no source): big end 1 (100 % of the cycle)."]


def test_films_show_digits_that_mean_something() -> None:
    assert film_text(0.6249e-6) == "0.62 µm"
    assert film_text(12.34e-6) == "12.3 µm"
    assert film_text(0.996e-6) == "1.0 µm"


def test_band_that_is_only_a_bound_says_under() -> None:
    band = build_band(low_um=0.5, high_um=1.5, most=Factor.CLEARANCE, bound=True)
    assert band_text(band.minimum_film_m) == "1.5 µm down to under 0.50 µm"


def _leaving_at(one: BearingFilm, outlet_c: float) -> BearingFilm:
    return replace(one, film=replace(one.film, outlet_temperature_c=outlet_c))


def test_oil_that_would_leave_past_the_end_of_its_laws_is_a_warning() -> None:
    hot, warm = _leaving_at(bearing_film(), 271.0), _leaving_at(bearing_film(), 199.0)
    assert "leave at 271 °C" in said(hot)
    assert "expect it to overheat" in said(hot)
    assert "overheat" not in said(warm)
    assert any("Expect overheating: big end 2" in one for one in _spoken(hot))
    assert not any("overheating" in one for one in _spoken(warm))


def test_form_of_the_size_of_the_film_may_touch() -> None:
    shape = FilmShape(journal_taper_m=16 * UM)
    near = bearing_film(film_um=1.0)
    touching = replace(near, shape=shape, shape_gap_m=0.9 * UM)
    telling = replace(near, shape=shape, shape_gap_m=0.4 * UM)
    assert "the figure for round parts does not stand" in said(touching)
    assert "which the figure for round parts does not show" in said(telling)
    assert any("may touch" in one and "big end 2" in one for one in _spoken(touching))
    assert not any("may touch" in one for one in _spoken(telling))


def test_builds_without_an_answer_are_told_as_a_share() -> None:
    plain = bearing_film()
    assert plain.band is not None
    film = engine_film()
    many = replace(plain, band=replace(plain.band, outside=round(0.43 * film.draws)))
    few = replace(plain, band=replace(plain.band, outside=round(0.01 * film.draws)))
    assert any("in 43 % of the engines" in one for one in _spoken(many))
    assert not any("than can be computed" in one for one in _spoken(few))


def _spoken(one: BearingFilm) -> tuple[str, ...]:
    return engine_sentences(replace(engine_film(), bearings=(one,)))
