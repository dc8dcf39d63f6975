import pytest

from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.usecases.reading_text import reading_text, size_taken


def reading(
    text: str,
    mm: float,
    *,
    unit: str = "mm",
    form: ReadingForm = ReadingForm.ABSOLUTE,
    bound: Bound = Bound.NONE,
) -> Reading:
    return Reading(
        id="a",
        feature="rod_journal",
        number=1,
        value_m=mm * 1e-3,
        text=text,
        unit=unit,
        form=form,
        bound=bound,
    )


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (reading("47.972", 47.972), "47.972 mm"),
        (reading("47,972 mm", 47.972), "47,972 mm"),
        (reading("48", 48.0), "48 mm"),
        (reading("972", 47.972), "972, taken as 47.972 mm"),
        (reading("8885", 47.9679, unit="in"), "8885, taken as 1.8885 in"),
        (reading("-12", -0.012, form=ReadingForm.DEVIATION), "-12, taken as -0.012 mm"),
        (reading("+3", 0.003, form=ReadingForm.DEVIATION), "+3, taken as +0.003 mm"),
        (reading("-0.012", -0.012, form=ReadingForm.DEVIATION), "-0.012 mm"),
        (reading("-12 um", -0.012, unit="µm", form=ReadingForm.DEVIATION), "-12 um µm"),
        (reading("not flattened", 0.075, bound=Bound.AT_LEAST), "not flattened"),
        (reading("", 47.0), "mm"),
    ],
)
def test_what_was_typed_stands_first(one: Reading, words: str) -> None:
    assert reading_text(one) == words


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (reading("972", 47.972), "972 → 47.972 mm"),
        (reading("-12", -0.012, form=ReadingForm.DEVIATION), "-12 → 47.968 mm"),
        (reading("-0.012", -0.012, form=ReadingForm.DEVIATION), "-0.012 → 47.968 mm"),
        (reading("47.972", 47.972), ""),
        (reading("not flattened", 0.075, bound=Bound.AT_LEAST), ""),
    ],
)
def test_digits_and_deviations_are_told_with_the_size_they_stand_for(
    one: Reading, words: str
) -> None:
    assert size_taken(one, nominal_m=0.04798) == words


def test_a_deviation_from_an_unknown_size_has_no_size() -> None:
    one = reading("+3", 0.003, form=ReadingForm.DEVIATION)
    assert size_taken(one, nominal_m=None) == ""
