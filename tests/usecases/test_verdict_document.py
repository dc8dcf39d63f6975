"""The table on the screen, and what is said under it."""

from __future__ import annotations

from typing import Any

import pytest

from oilwedge.fits.verdict import State
from oilwedge.job.entry import EventKind, WorkKind
from oilwedge.metrology.reading import Bound
from oilwedge.report.state_sign import StateSign
from oilwedge.report.terminal import render_terminal
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.signs import crank_drawing, decider, state_sign, window_sign
from oilwedge.usecases.verdict_document import limits_text, screen_document, summary_sentence

Bench = Any  # the fixture of conftest.py
FACE = LengthFace(unit="mm")


def screen(bench: Bench, *, worst_first: bool = False, every_way: bool = False) -> str:
    document = screen_document(
        judgement=bench.judge(), face=FACE, worst_first=worst_first, every_way=every_way
    )
    return render_terminal(document).replace("\N{NO-BREAK SPACE}", " ")


def flat(text: str) -> str:
    return " ".join(text.split())


def rod(bench: Bench, number: int, um: float, *, taper_um: float = 0.0) -> None:
    bench.journal(number, 47.970, taper_mm=taper_um / 1000)
    bench.bore(number, 47.970 + um / 1000)


def test_what_is_wrong_where_and_what_to_do_comes_under_the_table(bench: Bench) -> None:
    rod(bench, 1, 35)
    rod(bench, 2, 10)
    text = flat(screen(bench))
    assert "What is wrong, where, what to do" in text
    assert "rod bearing 2: too tight" in text
    assert "its low limit is 0.021 mm" in text
    assert "rod bearing 1: " not in text


def test_worst_first_puts_the_worst_on_top(bench: Bench) -> None:
    rod(bench, 1, 35)
    rod(bench, 2, 70)

    def order(text: str) -> list[str]:
        table = text[text.index("verdict\n") :]
        table = table[: table.index("What is wrong")]
        words = ("past service", "right")
        return [word for line in table.splitlines() for word in words if word in line][:4]

    assert order(screen(bench))[0] == "right"
    assert order(screen(bench, worst_first=True))[0] == "past service"


def test_the_summary_counts_every_fit_once(bench: Bench) -> None:
    rod(bench, 1, 35)
    judgement = bench.judge()
    sentence = summary_sentence(judgement)
    numbers = [int(word) for word in sentence.replace(",", " ").split() if word.isdigit()]
    assert numbers[0] == len(judgement.fits) == sum(numbers[1:])


def test_limits_in_force_leave_the_service_limit_out_for_new_parts(bench: Bench) -> None:
    rod(bench, 1, 35)
    assert limits_text(bench.result("rod_bearing"), face=FACE) == (
        "0.021 to 0.049 mm; service up to 0.060 mm"
    )
    bench.is_now("rod_shells", "new")
    assert limits_text(bench.result("rod_bearing"), face=FACE) == "0.021 to 0.049 mm"


def test_measured_fits_without_limits_show_their_value_for_orientation(new_bench: Any) -> None:
    bench = new_bench("\n[fits.second_ring_gap]\n")
    bench.read("second_ring_gap", 2, 0.400, instrument="feeler")
    text = flat(screen(bench))
    assert "common practice, no source" in text
    assert "0.400 ±" in text or "0.40 ±" in text


def test_part_states_questions_and_notes_have_sections_of_their_own(bench: Bench) -> None:
    rod(bench, 1, 35)
    bench.work("rod_journals", WorkKind.GROUND, 1)
    bench.journal(2, 47.722)
    bench.event(EventKind.NOTE, value="burr at the oil hole")
    text = flat(screen(bench))
    assert "Part states" in text
    assert "Measure again: rod journal 1" in text
    assert "Nobody stated it" in text
    assert "burr at the oil hole" in text


# --- signs --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("um", "sign"),
    [
        (35, StateSign.RIGHT),
        (47, StateSign.RIGHT_CLOSE),
        (54, StateSign.LOOSE),
        (70, StateSign.PAST_SERVICE),
        (10, StateSign.TOO_TIGHT),
    ],
)
def test_each_state_has_its_own_shape(bench: Bench, um: float, sign: StateSign) -> None:
    rod(bench, 1, um)
    assert state_sign(bench.result("rod_bearing")) is sign


def test_the_window_shows_limits_and_value_in_the_unit_asked_for(bench: Bench) -> None:
    rod(bench, 1, 38.1)
    window = window_sign(bench.result("rod_bearing"), unit="in", every_way=False)
    assert window.low == pytest.approx(0.021 / 25.4)
    assert window.service_high == pytest.approx(0.060 / 25.4)
    assert window.service_low is None
    (mark,) = window.marks
    assert mark.value == pytest.approx(0.0381 / 25.4)
    assert mark.half_width is not None


def test_a_new_part_has_no_service_tick(bench: Bench) -> None:
    rod(bench, 1, 38)
    bench.is_now("rod_journals", "new")
    window = window_sign(bench.result("rod_bearing"), unit="mm", every_way=False)
    assert window.service_high is None


def test_the_place_that_decided_is_shown_beside_the_mean(bench: Bench) -> None:
    rod(bench, 1, 42, taper_um=20)
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.LOOSE
    shown = decider(result)
    assert shown is not None
    assert shown.name == "at the front"
    assert "at the front" in screen(bench)


def test_a_bound_is_drawn_as_a_bound(bench: Bench) -> None:
    bench.read("rod_strip", 1, 0.025, instrument="narrow", bound=Bound.AT_MOST)
    window = window_sign(bench.result("rod_bearing"), unit="mm", every_way=False)
    (mark,) = window.marks
    assert mark.bound is not None
    assert "at most 0.025 mm" in flat(screen(bench))


def test_ways_that_disagree_are_all_drawn_and_no_mean(bench: Bench) -> None:
    rod(bench, 1, 45)
    bench.read("rod_strip", 1, 0.025, "front", instrument="narrow")
    window = window_sign(bench.result("rod_bearing"), unit="mm", every_way=False)
    assert sorted(round(mark.value, 3) for mark in window.marks) == [0.025, 0.045]


def test_the_crank_carries_each_bearings_state(bench: Bench) -> None:
    rod(bench, 2, 70)
    drawing = crank_drawing(engine=bench.engine, results=bench.judge().fits)
    states = {mark.label: mark.state for throw in drawing.throws for mark in throw.rods}
    assert states["2"] is StateSign.PAST_SERVICE
    assert states["1"] is StateSign.NOT_MEASURED
    assert [throw.angle_deg for throw in drawing.throws] == [0.0, 180.0, 180.0, 0.0]
    assert len(drawing.mains) == 5


def test_only_a_broken_limit_names_the_place_that_decided(bench: Bench) -> None:
    """A taper inside its limits is no news; the same taper across one is."""
    rod(bench, 1, 35, taper_um=6)
    assert decider(bench.result("rod_bearing", 1)) is None
    rod(bench, 2, 22, taper_um=6)
    shown = decider(bench.result("rod_bearing", 2))
    assert shown is not None
    assert shown.name == "at the rear"
