"""What is stated of invented bearings holds against their truth: seeded, small, whole chain.

The large version is benchmarks/coverage.py. Tolerances are binomial. Four bearings of one engine
share the errors of their instruments, so engines are counted, not bearings: with n = 80 engines
and p = 0.95 one standard deviation is √(p (1 − p)/n) = 2.4 %, and three of them 7.3 %.
"""

from __future__ import annotations

import importlib
import math
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any

import GTC
import pytest

from oilwedge.uncertainty.budget import budget
from oilwedge.uncertainty.conformity import DecisionRule

pytestmark = pytest.mark.slow
BENCHMARKS = Path(__file__).resolve().parents[2] / "benchmarks"
ENGINES = 80
LEAST = 0.95 - 3.0 * math.sqrt(0.95 * 0.05 / ENGINES)
UM = 1e-6
R3, R12 = math.sqrt(3.0), math.sqrt(12.0)


@pytest.fixture(scope="module")
def truth() -> Iterator[ModuleType]:
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(BENCHMARKS))
        yield importlib.import_module("known_truth")
        for name in ("known_truth", "invented_bearings"):
            sys.modules.pop(name, None)


def seen(truth: ModuleType, how: str, *, engines: int = ENGINES, **changes: Any) -> Any:
    size = truth.FormSize[changes.pop("form", "SMALL")]
    at = {key: changes.pop(key) for key in ("at", "low_m", "high_m") if key in changes}
    scenario = truth.Scenario(plan=truth.Plan(how=truth.How[how], **changes), size=size, **at)
    engine, shop = truth.demo_engine_and_shop()
    return truth.run(scenario, engine, shop, engines=engines, seed=20)


@pytest.mark.parametrize(
    ("how", "changes"),
    [
        ("BORE", {"form": "NONE"}),
        ("BORE", {"full": True, "form": "LARGE"}),
        ("BORE", {"temperatures": True, "fittings": 3}),
        ("WALLS", {}),
        ("GAUGE", {}),
        ("MARKS", {"low_m": 34 * UM, "high_m": 62 * UM}),
        ("WIDTHS", {"low_m": 34 * UM, "high_m": 62 * UM}),
        ("BORE_AND_GAUGE", {}),
        ("BORE_AND_WALLS", {"full": True}),
    ],
)
def test_the_stated_95_percent_holds(truth: ModuleType, how: str, changes: dict[str, Any]) -> None:
    tally = seen(truth, how, **changes)
    for name, hits in tally.hits.items():
        if hits.count:
            assert hits.coverage >= LEAST, name
    # En over 1 in at most 5 % of pairs that measure one thing, with the same three deviations
    assert tally.at_odds <= (1.05 - LEAST) * tally.pairs


def test_u_is_not_stated_larger_than_the_errors_ask_for(truth: ModuleType) -> None:
    """The mean of a normal error lies within 1.96 standard deviations; U is that and no more.

    The root mean square of 80 independent errors is good to 1/√(2·80) = 8 %; three of them 24 %.
    """
    for how in ("BORE", "GAUGE", "WALLS"):
        figures = seen(truth, how, form="NONE").hits["mean"].figures()
        ratio = figures["mean_u95_um"] / (1.96 * figures["rms_error_um"])
        assert 1.0 / 1.24 <= ratio <= 1.24, how


def test_a_bearing_at_its_limit_is_called_right_in_at_most_5_percent(truth: ModuleType) -> None:
    """At the limit the safety margin errs in 2.5 % (two limits share 5 %), simple acceptance in
    half; three deviations of 5 % in 80 engines are 7.3 %, of a half 17 %.
    """
    for at in (
        lambda bearing: bearing.moved(20.99 * UM - bearing.tightest),
        lambda bearing: bearing.moved(49.01 * UM - bearing.loosest),
    ):
        tally = seen(truth, "BORE", at=at)
        assert tally.bad == 4 * ENGINES
        assert tally.bad_right[DecisionRule.SAFETY_MARGIN] / tally.bad <= 0.05 + 0.073
        assert tally.bad_right[DecisionRule.SIMPLE] / tally.bad == pytest.approx(0.5, abs=0.17)


def test_chances_come_true_as_often_as_they_say(truth: ModuleType) -> None:
    """Σ said against the count that happened, in three bins; s = √Σ p(1 − p), four to an engine."""
    chances = seen(truth, "BORE", form="NONE").chances
    for low, high in ((0.0, 0.2), (0.2, 0.8), (0.8, 1.01)):
        inside = [(said, true) for said, true in chances if low <= said < high]
        expected = sum(said for said, _ in inside)
        deviation = 2.0 * math.sqrt(sum(said * (1 - said) for said, _ in inside))
        assert abs(sum(true for _, true in inside) - expected) <= 3.0 * max(deviation, 1.0)


def test_like_bearings_are_seldom_told_apart(truth: ModuleType) -> None:
    """3 % of engines at the most; with 80 engines and three deviations 8.7 %."""
    tally = seen(truth, "BORE", low_m=34 * UM, high_m=46 * UM)
    assert tally.alarms <= 0.087 * ENGINES


def test_followed_advice_reaches_the_u_that_it_promised(truth: ModuleType) -> None:
    """On average over bearings within 10 %: form near zero takes a different share each time."""
    engine, shop = truth.demo_engine_and_shop()
    followed = truth.follow_advice(engine, shop, engines=40, seed=20)["bore"]
    assert followed.asked >= 10
    assert sum(followed.ratios) / followed.asked == pytest.approx(1.0, abs=0.10)
    assert followed.wrong <= 0.05 * followed.asked + 3.0 * math.sqrt(0.0475 * followed.asked)


def test_a_full_budget_by_hand(bench: Any) -> None:
    """Bore less journal, one micrometer, a gauge set in it, temperatures written down.

    Every line is written out from the GUM (5.1.2, with L20 = L (1 + αᵢΔTᵢ)/(1 + αₚΔTₚ) as in its
    example H.1), first by hand in µm, then as GTC's component of the whole model. COMPUTED.
    """
    journal_mm, bore_mm = (47.971, 47.972, 47.973, 47.972), (48.009, 48.010)
    spots = [(place, way) for place in ("front", "rear") for way in ("along", "across")]
    journal_c, bore_c, shop_c = 24.0, 26.0, 25.0
    warm = {"instrument_temperature_c": shop_c}
    for (place, way), mm in zip(spots, journal_mm, strict=True):
        _warm(bench, "rod_journal", mm, place, way, "mic", part_temperature_c=journal_c, **warm)
    for place, mm in zip(("front", "rear"), bore_mm, strict=True):
        _warm(
            bench, "rod_shell_bore", mm, place, "square", "bore", part_temperature_c=bore_c, **warm
        )
    mean = bench.result("rod_bearing").measurement.evidence.mean
    lines = budget(mean).lines

    # The model in GTC: every input once, named as in the budget.
    steel, instrument = GTC.ureal(11.5e-6, 2e-6 / R3), GTC.ureal(11.5e-6, 2e-6 / R3)
    thermometer = GTC.ureal(0.0, 0.5 / R3)
    mic, mic_zero = GTC.ureal(0.0, 2 * UM / R3), GTC.ureal(0.0, 0.5 * UM)
    gauge, gauge_set = GTC.ureal(0.0, 1 * UM / R3), GTC.ureal(0.0, 1 * UM)
    dirt = {"journal": GTC.ureal(0.0, 1 * UM), "bore": GTC.ureal(0.0, 1 * UM)}
    scatter = [GTC.ureal(0.0, 1 * UM) for _ in range(6)]
    steps = [GTC.ureal(0.0, 1 * UM / R12) for _ in range(6)]

    def at_20(length: Any, part_c: float) -> Any:
        away = 1 + instrument * (shop_c - 20.0 + thermometer)
        return length * away / (1 + steel * (part_c - 20.0 + thermometer))

    shaft = sum(mm * 1e-3 + scatter[i] + steps[i] for i, mm in enumerate(journal_mm)) / 4
    hole = sum(mm * 1e-3 + scatter[4 + i] + steps[4 + i] for i, mm in enumerate(bore_mm)) / 2
    shaft = at_20(shaft, journal_c) + mic + mic_zero + dirt["journal"]
    hole = at_20(hole, bore_c) + gauge + mic + mic_zero + gauge_set + dirt["bore"]
    clearance = hole - shaft

    # By hand, µm: each reading of n carries 1/n; the steel's own error acts by the difference of
    # the parts' distances from 20 °C, that of the instruments not at all but for D's difference.
    by_hand = {
        "instrument:bore:error": (1 / R3, gauge),
        "setting:bore:1": (1.0, gauge_set),
        "setup:rod bearing bore 1:1": (1.0, dirt["bore"]),
        "setup:rod journal 1:1": (-1.0, dirt["journal"]),
        "expansion:steel": (-2e-6 / R3 * (48009.5 * 6.0 - 47972.0 * 4.0), steel),
        "expansion:instruments (1.15e-05 per K)": (2e-6 / R3 * (37.5 * 5.0), instrument),
        **{f"repeat:r{i + 1}": (-1 / 4, scatter[i]) for i in range(4)},
        **{f"repeat:r{i + 5}": (1 / 2, scatter[i + 4]) for i in range(2)},
        **{f"resolution:r{i + 1}": (-1 / 4 / R12, steps[i]) for i in range(4)},
        **{f"resolution:r{i + 5}": (1 / 2 / R12, steps[i + 4]) for i in range(2)},
    }
    found = {line.source.key: line.contribution / UM for line in lines}
    # What is left of the other lines would not fill the last digit: the micrometer and its zero
    # cancel, and the thermometer's error meets equal coefficients.
    assert all(abs(found[key]) < 1e-4 for key in found.keys() - by_hand.keys())
    for key, (hand_um, source) in by_hand.items():
        assert found[key] == pytest.approx(hand_um, rel=2e-3, abs=1e-4), key
        assert abs(found[key]) == pytest.approx(
            GTC.component(clearance, source) / UM, rel=2e-3, abs=1e-4
        ), key
    assert mean.value == pytest.approx(GTC.value(clearance), abs=1e-12)
    assert mean.standard_uncertainty == pytest.approx(GTC.uncertainty(clearance), rel=1e-3)
    # 37.5 µm as read; the journal 1 K colder than its micrometer, the bore 1 K warmer: each about
    # 48 mm · 11.5e-6 = 0.552 µm, together 1.10 µm too much.
    assert mean.value / UM == pytest.approx(37.5 - 1.104, abs=0.003)
    u_um = math.sqrt(sum(hand**2 for hand, _ in by_hand.values()))
    assert mean.standard_uncertainty / UM == pytest.approx(u_um, rel=1e-3)
    assert mean.expanded().half_width / UM == pytest.approx(1.959964 * u_um, rel=1e-3)


def _warm(
    bench: Any, feature: str, mm: float, place: str, way: str, tool: str, **given: float
) -> None:
    reading = bench.read(feature, 1, mm, place, way, instrument=tool)
    bench.entries[-1] = replace(reading, **given)
