"""An engine answers by number, and counts what it has."""

from importlib import resources

import pytest

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Feature, FitLimits, Per, Shape, SizeRange

FOUR = read_engine(
    resources.files("oilwedge").joinpath("demo", "four.toml").read_text(encoding="utf-8"),
    file="four.toml",
)


def journal(**sizes: float) -> Feature:
    return Feature(
        key="rod_journal",
        title="rod journal",
        per=Per.ROD,
        shape=Shape.OUTSIDE,
        count=4,
        parts=(),
        exceptions={3: SizeRange(low_m=0.047, high_m=0.0472)},
        **sizes,  # type: ignore[arg-type]
    )


def test_a_reading_is_expected_near_the_nominal_or_the_middle_of_the_limits() -> None:
    assert journal(nominal_m=0.048, low_m=0.0479, high_m=0.048).reference_m == 0.048
    assert journal(low_m=0.0479, high_m=0.0481).reference_m == pytest.approx(0.048)
    assert journal().reference_m is None


def test_a_number_that_differs_has_its_own_size() -> None:
    usual = journal(nominal_m=0.048)
    assert usual.at(2) is usual
    assert (usual.at(3).low_m, usual.at(3).nominal_m) == (0.047, None)


def test_a_fit_that_differs_has_its_own_limits() -> None:
    fit = FOUR.fits["main_bearing"]
    assert isinstance(fit.exceptions[3], FitLimits)
    assert fit.at(3).high_m == fit.exceptions[3].high_m != fit.at(1).high_m
    assert FOUR.fit("main_bearing", 3) == fit.at(3)


def test_labels_carry_a_number_where_there_is_more_than_one() -> None:
    assert FOUR.fits["rod_bearing"].label(3) == "rod bearing 3"
    assert FOUR.fits["crank_end_float"].label(1) == "crank end float"
    assert FOUR.features["rod_journal"].label(2) == "rod journal 2"


def test_things_are_counted_by_what_they_belong_to() -> None:
    counts = {per.value: FOUR.layout.count(per) for per in Per}
    assert counts == {
        "engine": 1,
        "rod": 4,
        "main": 5,
        "cylinder": 4,
        "cam bearing": 5,
        "intake valve": 8,
        "exhaust valve": 8,
    }
    assert FOUR.fits["rod_bearing"].numbers == (1, 2, 3, 4)
    assert FOUR.layout.throw_of(3).angle_deg == 180.0


def test_every_part_in_use_has_its_words() -> None:
    assert FOUR.part_titles["rod_bolts"] == "rod bolts"
    for fit in FOUR.fits.values():
        assert set(fit.parts) <= set(FOUR.part_titles)
