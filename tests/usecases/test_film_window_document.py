"""Film against clearance in words and tables."""

from __future__ import annotations

from dataclasses import replace

from oilwedge.report.terminal import render_terminal
from oilwedge.usecases.clearance_range import ClearanceRange
from oilwedge.usecases.film_window_document import (
    film_window_document,
    range_text,
    window_sentences,
)
from oilwedge.usecases.length_face import LengthFace

from .film_window_made_up import FILM_M, kind, window

FACE = LengthFace()


BUILD_TO = (
    "Build to the limits all the same, 0.020 to 0.060 mm: where more film is wanted, another oil,"
    " less speed or less load give it, not a clearance outside them."
)


def shown() -> str:
    return render_terminal(film_window_document(window(), face=FACE), columns=80)


def test_sentence_names_the_range_and_who_may_lie_outside() -> None:
    assert window_sentences(kind(), film_m=FILM_M, face=FACE) == (
        "Big ends with 5W-30: a clearance of 0.020 to 0.060 mm keeps at least 1.0 µm of film at"
        " hot idle and full load. In it, but not with all they could be off by: big end 2.",
        BUILD_TO,
    )


def test_sentence_names_what_lies_outside() -> None:
    told = window_sentences(kind(top_um=1.5), film_m=FILM_M, face=FACE)[0]
    assert "a clearance of 0.030 to 0.050 mm keeps" in told
    assert "Outside it: big end 2." in told


def test_sentence_says_that_all_lie_inside() -> None:
    whole = kind()
    told = window_sentences(replace(whole, measured=whole.measured[:1]), film_m=FILM_M, face=FACE)
    assert told[0].endswith("All measured ones lie in it, also with what they could be off by.")


def test_sentence_names_the_condition_that_no_clearance_satisfies() -> None:
    told = window_sentences(kind(top_um=0.5), film_m=FILM_M, face=FACE)
    assert told == ("Big ends with 5W-30: no clearance keeps 1.0 µm of film at hot idle.", BUILD_TO)


def test_range_that_ends_where_nothing_more_was_looked_at_says_both() -> None:
    span = ClearanceRange(low_m=20e-6, high_m=105e-6)
    for given, words in (
        (span, "0.020 to 0.105 mm"),
        (replace(span, open_high=True), "0.020 to 0.105 mm (more was not looked at)"),
        (replace(span, open_low=True), "0.020 to 0.105 mm (less was not looked at)"),
    ):
        assert range_text(given, face=FACE) == words


def test_without_both_limits_nothing_is_said_of_building_to_them() -> None:
    told = window_sentences(replace(kind(), low_m=None), film_m=FILM_M, face=FACE)
    assert not any("Build to the limits" in one for one in told)


def test_table_gives_the_numbers_over_clearance() -> None:
    lines = [" ".join(line.split()) for line in shown().splitlines()]
    assert any("0.010 5W-30 – – – –" in line for line in lines)
    assert any("0.100 5W-30 0.05 118 192 5.40" in line for line in lines)


def test_table_fits_a_terminal() -> None:
    assert max(len(line) for line in shown().splitlines()) <= 80


def test_reader_learns_limits_reasons_and_meaning() -> None:
    text = " ".join(shown().split())
    assert "0.020 to 0.060 mm" in text
    assert "0.080 mm" in text
    assert "the parts touch when hot" in text
    assert "rule of thumb" in text
    assert "does not overrule the maker's limits" in text
