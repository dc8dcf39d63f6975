"""The films of an engine on a terminal."""

from __future__ import annotations

from dataclasses import replace

from oilwedge.film.build_sample import Factor
from oilwedge.report.terminal import render_terminal
from oilwedge.usecases.film_cycle_answer import EngineFilm, LeftOut
from oilwedge.usecases.film_cycle_document import film_cycle_document, torque_words
from oilwedge.usecases.length_face import LengthFace

from .film_cycle_made_up import bearing_film, build_band, engine_film

LOST = LeftOut(key="main 2", title="main bearing 2", why="not measured")


def whole() -> EngineFilm:
    film = engine_film(
        bearing_film("rod 1", film_um=0.9, middle_um=1.2),
        bearing_film("main 1", film_um=3.1, middle_um=3.1),
        left_out=(LOST,),
    )
    return replace(
        film,
        bearings=tuple(replace(one, sentence=f"Of {one.load.title}.") for one in film.bearings),
        sentences=("What it comes to.",),
    )


def shown(*films: EngineFilm) -> str:
    return render_terminal(film_cycle_document(films, face=LengthFace()), columns=80)


def lines(text: str) -> list[str]:
    return [" ".join(line.replace("\N{NO-BREAK SPACE}", " ").split()) for line in text.splitlines()]


def test_table_sets_each_bearing_beside_itself_at_mid_limit() -> None:
    found = lines(shown(whole()))
    assert "big end 1 0.040 0.90 0.63 to 1.2 1.2 −25 % 1 % 2.3 mixed" in found
    assert "main 1 0.040 3.1 2.2 to 4.0 3.1 0 % 0 % 7.8 full" in found


def test_table_gives_heat_load_and_oil() -> None:
    assert "big end 1 370° 40 121 120 0.18 1.1 90.0" in lines(shown(whole()))


def test_bearing_without_answer_keeps_its_line() -> None:
    assert "main 2 – – – – – – –" in lines(shown(whole()))


def test_table_fits_a_terminal() -> None:
    text = shown(whole())
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "bearing:" not in text, "the table fell apart into lists"


def test_widest_words_of_a_table_still_fit_a_terminal() -> None:
    wide = bearing_film("rod 1", film_um=0.99, middle_um=1.4)
    assert wide.band is not None
    bound = build_band(low_um=0.85, high_um=12.5, most=Factor.CLEARANCE, bound=True)
    text = shown(engine_film(replace(wide, band=bound), left_out=(LOST,)))
    assert "< 0.85 to 12.5" in text
    assert "bearing:" not in text, "the table fell apart into lists"
    assert max(len(line) for line in text.splitlines()) <= 80


def test_reader_learns_condition_meaning_and_rules_of_thumb() -> None:
    text = " ".join(shown(whole()).split())
    assert "Full load: 4000 rpm, oil in at 100 °C" in text
    assert "It compares clearances and oils; it does not overrule the maker's limits." in text
    assert "Journals as warm as the oil (rule of thumb)." in text
    assert "Something to know." in text
    assert "Calculated with 10W-40" in text
    assert "What it comes to." in text
    assert "Of big end 1." in text


def test_each_condition_has_its_part_and_what_they_share_stands_once() -> None:
    film = whole()
    idle = replace(film, condition=replace(film.condition, name="hot idle", speed_rpm=800.0))
    text = shown(film, idle)
    assert "Hot idle: 800 rpm" in text
    assert text.count("Something to know.") == 1
    assert text.count("How to read the tables") == 1


def test_torque_is_told_with_mean_and_swing() -> None:
    assert torque_words(whole()) == "mean 100 N m, from 50.0 to 150 N m"


def test_engine_without_answers_has_no_tables() -> None:
    assert "could be" not in shown(engine_film(left_out=(LOST,)))
