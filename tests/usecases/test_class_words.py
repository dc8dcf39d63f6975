import pytest

from oilwedge.usecases.class_comparison import BenchRow, SlotRow, SlotValue
from oilwedge.usecases.class_words import (
    bench_sentence,
    difference_text,
    in_small_unit,
    mark_text,
    small_unit,
    uncertainty_text,
    verdict_word,
)


def value(difference_um: float, en: float | None) -> SlotValue:
    return SlotValue(
        value_m=0.048, expanded_m=4e-6, count=1, difference_m=difference_um * 1e-6, en=en
    )


def slot(label: str, one: SlotValue | None) -> SlotRow:
    return SlotRow(
        feature="rod_journal",
        number=1,
        place="front",
        direction="",
        label=label,
        reference_m=0.048,
        reference_expanded_m=4e-6,
        values=(one,),
    )


def row(*, compared: int, beyond: int, mean_um: float | None = None) -> BenchRow:
    return BenchRow(
        name="03",
        taken=compared,
        skipped=0,
        open=0,
        last_entry=None,
        begun=True,
        stuck=False,
        compared=compared,
        inside=compared - beyond,
        beyond=tuple(f"place {n}" for n in range(beyond)),
        mark=None,
        mean_difference_m=None if mean_um is None else mean_um * 1e-6,
        largest_en=None,
    )


def sentence(one: BenchRow, *slots: SlotRow, unit: str = "mm") -> str:
    return bench_sentence(one, slots=slots, bench=0, unit=unit, against="the reference")


@pytest.mark.parametrize(
    ("difference_m", "unit", "text"),
    [
        (4.2e-6, "mm", "+4 µm"),
        (-12e-6, "mm", "−12 µm"),
        (-0.3e-6, "mm", "0 µm"),
        (0.0, "mm", "0 µm"),
        (2.54e-5, "in", "+1.0 thou"),  # exact: 1 in is 25.4 mm
        (-5.08e-6, "thou", "−0.2 thou"),
    ],
)
def test_a_difference_says_its_sign_and_a_small_unit(
    difference_m: float, unit: str, text: str
) -> None:
    assert difference_text(difference_m, unit=unit) == text


def test_small_units_go_with_the_lengths_beside_them() -> None:
    assert [small_unit(one) for one in ("mm", "in", "thou")] == ["µm", "thou", "thou"]
    assert in_small_unit(25.4e-6, unit="in") == 1.0


def test_an_uncertainty_is_never_told_as_nothing() -> None:
    assert uncertainty_text(3.4e-6, unit="mm") == "± 3 µm"
    assert uncertainty_text(0.1e-6, unit="mm") == "± 1 µm"
    assert uncertainty_text(0.1e-6, unit="in") == "± 0.1 thou"


def test_a_place_in_a_word() -> None:
    assert verdict_word(None) == "not read"
    assert verdict_word(value(0, None)) == "nothing to compare with"
    assert verdict_word(value(5, 1.0)) == "agrees"  # up to and with 1 it agrees
    assert verdict_word(value(-5, -1.01)) == "differs"


def test_a_bench_that_agrees_says_so() -> None:
    assert sentence(row(compared=0, beyond=0)) == "Nothing to compare yet."
    assert sentence(row(compared=1, beyond=0)) == (
        "The one place read so far agrees with the reference."
    )
    assert sentence(row(compared=8, beyond=0, mean_um=0.2)) == (
        "All 8 places read so far agree with the reference."
    )


def test_the_worst_places_come_first_and_the_rest_is_counted() -> None:
    slots = [slot("a", value(9, 1.5)), slot("b", value(-30, -5.0)), slot("c", value(12, 2.0))]
    found = sentence(row(compared=8, beyond=3, mean_um=-2.0), *slots, slot("d", value(1, 0.2)))
    assert found == (
        "3 of 8 places differ from the reference: b, by −30 µm; c, by +12 µm; and 1 more."
        " On average it reads 2 µm less."
    )


def test_one_place_is_one() -> None:
    found = sentence(row(compared=2, beyond=1, mean_um=10.0), slot("a", value(20, 3.0)))
    assert found == "1 of 2 places differs from the reference: a, by +20 µm."


def test_a_mark_counts_what_was_not_read() -> None:
    assert mark_text(row(compared=8, beyond=2), places=12) == "6 of 12"
    assert mark_text(row(compared=0, beyond=0), places=0) == "none yet"
