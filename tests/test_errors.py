"""The error tree and its sentences."""

from __future__ import annotations

import pickle

import pytest

from oilwedge import errors
from oilwedge.errors import (
    EngineFileError,
    Fault,
    InputError,
    LineWord,
    MissingExtraError,
    OilwedgeError,
    OutOfRangeError,
    ReadingsError,
    UnitError,
    UnknownNameError,
    Where,
    did_you_mean,
)


def test_a_fault_in_an_engine_file_reads_as_one_sentence() -> None:
    fault = Fault(
        where=Where(file="engine.toml", line=12, column="fits.rod.build"),
        given="0.049 mm to 0.021 mm",
        allowed="the low limit must be below the high one",
        action="swap them",
    )
    assert fault.sentence() == (
        "engine.toml, line 12, fits.rod.build: given '0.049 mm to 0.021 mm'; "
        "the low limit must be below the high one; swap them."
    )


@pytest.mark.parametrize(
    ("where", "text"),
    [
        (Where(), ""),
        (Where(file="engine.toml"), "engine.toml"),
        (Where(line=3), "line 3"),
        (
            Where(file="readings.csv", line=7, column="value", unit=LineWord.ROW),
            "readings.csv, row 7, column value",
        ),
        (
            Where(file="engine.toml", column="layout.firing_order"),
            "engine.toml, layout.firing_order",
        ),
    ],
)
def test_a_place_says_what_is_known(where: Where, text: str) -> None:
    assert str(where) == text


def test_a_fault_without_a_place_starts_with_a_capital() -> None:
    assert Fault(given="x", allowed="a number is needed").sentence() == (
        "Given 'x'; a number is needed."
    )
    assert Fault(given="", allowed="the file is empty").sentence() == "The file is empty."


def test_a_sentence_never_breaks_its_line_nor_doubles_its_stop() -> None:
    fault = Fault(given="a\nb", allowed="one\n line.", action="did you mean 'c'?")
    assert fault.sentence() == "Given 'a b'; one line; did you mean 'c'?"
    assert Fault(given="a", allowed="one line.").sentence() == "Given 'a'; one line."


def test_an_input_error_prints_all_its_faults_one_a_line() -> None:
    error = ReadingsError(Fault(given="a", allowed="b"), Fault(given="c", allowed="d"))
    assert str(error) == "Given 'a'; b.\nGiven 'c'; d."
    assert len(error.faults) == 2


def test_placing_an_error_keeps_its_class_and_the_places_that_were_known() -> None:
    known = Where(file="shop.toml", line=2)
    error = UnitError(Fault(given="a", allowed="b"), Fault(given="c", allowed="d", where=known))
    placed = error.at(Where(file="readings.csv", line=7, unit=LineWord.ROW))
    assert type(placed) is UnitError
    assert str(placed) == ("readings.csv, row 7: given 'a'; b.\nshop.toml, line 2: given 'c'; d.")


def test_an_error_survives_pickling() -> None:
    error = EngineFileError(Fault(given="a", allowed="b"))
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is EngineFileError
    assert again.faults == error.faults


def test_an_input_error_without_a_fault_is_refused() -> None:
    with pytest.raises(TypeError, match="at least one fault"):
        InputError()


def test_every_error_is_under_the_root_and_under_the_fitting_builtin() -> None:
    for value in vars(errors).values():
        if isinstance(value, type) and issubclass(value, Exception):
            assert issubclass(value, OilwedgeError)
    assert issubclass(InputError, ValueError)
    assert issubclass(UnknownNameError, LookupError)
    assert issubclass(OutOfRangeError, InputError)
    assert issubclass(MissingExtraError, ImportError)


@pytest.mark.parametrize(
    ("given", "answer"),
    [
        ("firing_ordr", "did you mean 'firing_order'?"),
        ("Firing Order", "did you mean 'firing_order'?"),
        ("firing-order", "did you mean 'firing_order'?"),
        ("zzz", ""),
    ],
)
def test_did_you_mean_names_the_nearest(given: str, answer: str) -> None:
    assert did_you_mean(given=given, allowed=["cylinders", "firing_order"]) == answer
