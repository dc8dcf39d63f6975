"""What the product states of invented bearings, held against their truth."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path

import numpy as np
from invented_bearings import UM, Bearing, FormSize, How, Measurer, Plan, draw_bearing

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine, WayKind
from oilwedge.fits.verdict import State, judge_fit
from oilwedge.shop.file import read_shop
from oilwedge.shop.model import Shop
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.judging import judge

DEMO = Path(__file__).resolve().parents[1] / "src" / "oilwedge" / "demo"
FITS = ("rod_bearing", "rod_journal_taper", "rod_journal_out_of_round")
WITH: Mapping[str, str] = {
    "rod_journal": "mic_25_50",
    "rod_shell_bore": "bore_small",
    "rod_housing_bore": "bore_medium",
    "rod_upper_wall": "ball_mic",
    "rod_lower_wall": "ball_mic",
    "rod_gauge": "bore_small",
}
RODS = (1, 2, 3, 4)
STRIPS = (How.MARKS, How.WIDTHS, How.BORE_AND_WIDTHS)


def demo_engine_and_shop() -> tuple[Engine, Shop]:
    """The demo's four with its rod bearings only, and the demo's shop."""
    engine = read_engine((DEMO / "four.toml").read_text("utf-8"), file="four.toml")
    shop = read_shop((DEMO / "shop.toml").read_text("utf-8"), file="shop.toml")
    return replace(engine, fits={key: engine.fits[key] for key in FITS}), shop


@dataclass(kw_only=True)
class Hits:
    """How often |stated − true| ≤ U; mean U and mean error in µm."""

    count: int = 0
    inside: int = 0
    half: float = 0.0
    error: float = 0.0
    square: float = 0.0

    def take(self, stated: Quantity | None, true_m: float) -> None:
        if stated is None:
            return
        half, error = stated.expanded().half_width, stated.value - true_m
        self.count += 1
        self.inside += abs(error) <= half
        self.half += half / UM
        self.error += error / UM
        self.square += (error / UM) ** 2

    @property
    def coverage(self) -> float:
        return self.inside / self.count if self.count else math.nan

    def figures(self) -> dict[str, float]:
        n = max(self.count, 1)
        return {
            "count": self.count,
            "coverage": self.coverage,
            "mean_u95_um": self.half / n,
            "bias_um": self.error / n,
            "rms_error_um": math.sqrt(self.square / n),
        }


@dataclass(kw_only=True)
class Tally:
    """What was seen in one scenario."""

    hits: dict[str, Hits] = field(
        default_factory=lambda: {
            name: Hits() for name in ("mean", "tightest", "loosest", "taper", "out-of-round")
        }
    )
    pairs: int = 0
    at_odds: int = 0
    bad: int = 0
    bad_right: dict[DecisionRule, int] = field(
        default_factory=lambda: dict.fromkeys(DecisionRule, 0)
    )
    judged: int = 0
    open: dict[DecisionRule, int] = field(default_factory=lambda: dict.fromkeys(DecisionRule, 0))
    chances: list[tuple[float, bool]] = field(default_factory=list)
    engines: int = 0
    alarms: int = 0

    def take(self, result: FitResult, truth: Bearing) -> None:
        """One rod bearing."""
        evidence, limits = result.measurement.evidence, result.verdict.limits
        if evidence.empty:
            return
        good = truth.tightest >= (limits.low_m or 0.0) and truth.loosest <= (limits.high_m or 1.0)
        self.judged += 1
        self.bad += not good
        for rule in DecisionRule:
            verdict = judge_fit(
                evidence=evidence,
                limits=limits,
                rule=rule,
                readings_disagree=result.measurement.disagree,
            )
            self.open[rule] += verdict.state is State.CANNOT_TELL
            self.bad_right[rule] += verdict.state is State.RIGHT and not good
        if result.measurement.comparison is not None:
            for pair in result.measurement.comparison.pairs:
                self.pairs += 1
                self.at_odds += not pair.agree
        if result.measurement.disagree or evidence.mean is None:
            return
        self.hits["mean"].take(evidence.mean, truth.mean)
        self.hits["tightest"].take(evidence.smallest, truth.tightest)
        self.hits["loosest"].take(evidence.largest, truth.loosest)
        if result.verdict.chance is not None:
            self.chances.append((result.verdict.chance.both, good))

    def figures(self) -> dict[str, object]:
        return {
            **{name: hits.figures() for name, hits in self.hits.items()},
            "judged": self.judged,
            "bad": self.bad,
            "bad_called_right": {rule.value: n for rule, n in self.bad_right.items()},
            "cannot_tell": {rule.value: n for rule, n in self.open.items()},
            "pairs": self.pairs,
            "at_odds": self.at_odds,
            "engines": self.engines,
            "neighbour_alarms": self.alarms,
        }


@dataclass(frozen=True, kw_only=True)
class Scenario:
    """Bearings of one kind, measured in one way."""

    plan: Plan
    size: FormSize = FormSize.SMALL
    seed: int = 0
    # moves a fresh truth, so that it lies at a limit or like its neighbours
    at: Callable[[Bearing], Bearing] | None = None
    low_m: float = 12.0 * UM
    high_m: float = 62.0 * UM
    # what the instruments do, and what the shop file says of them
    true_shop: Callable[[Shop], Shop] | None = None
    stated_shop: Callable[[Shop], Shop] | None = None
    note: str = ""

    @property
    def title(self) -> str:
        plan = self.plan
        words = [plan.how.value, "full" if plan.full else "quick", f"form {self.size.value}"]
        words += ["°C"] if plan.temperatures else []
        words += [f"{plan.fittings} fittings"] if plan.fittings > 1 else []
        words += [f"{plan.repeats} repeats"] if plan.repeats > 1 else []
        words += [self.note] if self.note else []
        return ", ".join(words)


def draw_engine(
    scenario: Scenario, engine: Engine, shop: Shop, generator: np.random.Generator
) -> Measurer:
    """Four fresh rod bearings and a shop with fresh errors."""
    bearings = {}
    for number in RODS:
        truth = draw_bearing(
            generator, size=scenario.size, low_m=scenario.low_m, high_m=scenario.high_m
        )
        bearings[number] = truth if scenario.at is None else scenario.at(truth)
    return Measurer(
        generator=generator, engine=engine, shop=shop, bearings=bearings, instruments=WITH
    )


def run(scenario: Scenario, engine: Engine, shop: Shop, *, engines: int, seed: int) -> Tally:
    """Measure and judge so many engines."""
    generator = np.random.default_rng([seed, scenario.seed])
    tally = Tally()
    true = shop if scenario.true_shop is None else scenario.true_shop(shop)
    shop = shop if scenario.stated_shop is None else scenario.stated_shop(shop)
    for _ in range(engines):
        bench = draw_engine(scenario, engine, true, generator)
        bench.measure(scenario.plan, numbers=RODS, fittings=range(1, scenario.plan.fittings + 1))
        take(tally, judge(engine=engine, shop=shop, entries=bench.readings), bench)
    return tally


def take(tally: Tally, judgement: Judgement, bench: Measurer) -> None:
    """Hold one judgement against the truth."""
    tally.engines += 1
    alarm = False
    for result in judgement.fits:
        truth = bench.bearings[result.number]
        if result.key == "rod_bearing":
            tally.take(result, truth)
            alarm = alarm or result.apart is not None
        elif result.key == "rod_journal_taper":
            tally.hits["taper"].take(result.measurement.evidence.mean, truth.taper)
        else:
            tally.hits["out-of-round"].take(result.measurement.evidence.mean, truth.out_of_round)
    tally.alarms += alarm


def reliability(chances: Sequence[tuple[float, bool]]) -> list[tuple[str, int, float, float]]:
    """In bins of said chance: how many, mean said, and the share that came true."""
    rows = []
    edges = [0.0, 0.05, *np.arange(0.1, 0.95, 0.1), 0.95, 1.0 + 1e-9]
    for low, high in pairwise(edges):
        inside = [(said, true) for said, true in chances if low <= said < high]
        if inside:
            said = sum(one for one, _ in inside) / len(inside)
            happened = sum(true for _, true in inside) / len(inside)
            rows.append((f"{low:4.0%} to {min(high, 1.0):4.0%}", len(inside), said, happened))
    return rows


@dataclass(kw_only=True)
class Followed:
    """Advice that was followed with fresh readings."""

    asked: int = 0
    none_can: int = 0
    ratios: list[float] = field(default_factory=list)  # U reached / U promised
    decided: int = 0
    wrong: int = 0
    fittings: int = 0


def follow_advice(engine: Engine, shop: Shop, *, engines: int, seed: int) -> dict[str, Followed]:
    """Bearings near a limit, quick plan, safety margin; then what was advised, and only that."""
    generator = np.random.default_rng([seed, 999])
    seen: dict[str, Followed] = {}
    at_limits = (
        Scenario(plan=Plan(how=How.BORE), low_m=21 * UM, high_m=30 * UM),
        Scenario(plan=Plan(how=How.WALLS), low_m=21 * UM, high_m=35 * UM),
    )
    for index in range(engines):
        scenario = at_limits[index % 2]
        # Every other engine without the zeroed gauge, so that other ways are advised too.
        judged = engine if index % 4 < 2 else _without_gauge(engine)
        bench = draw_engine(scenario, judged, shop, generator)
        bench.measure(scenario.plan, numbers=RODS, fittings=[1])
        for result in _rod_bearings(bench):
            _follow(seen, result, bench)
    return seen


def _without_gauge(engine: Engine) -> Engine:
    fit = engine.fits["rod_bearing"]
    ways = tuple(way for way in fit.ways if way.kind is not WayKind.ZEROED_GAUGE)
    return replace(engine, fits={**engine.fits, "rod_bearing": replace(fit, ways=ways)})


def _rod_bearings(bench: Measurer) -> list[FitResult]:
    judged = judge(
        engine=bench.engine,
        shop=bench.shop,
        entries=bench.readings,
        rule=DecisionRule.SAFETY_MARGIN,
    )
    return [one for one in judged.fits if one.key == "rod_bearing"]


def _follow(seen: dict[str, Followed], result: FitResult, bench: Measurer) -> None:
    if result.advice is None:
        return
    if not result.advice.remedies:
        seen.setdefault("none can", Followed()).none_can += 1
        return
    remedy = result.advice.remedies[0]
    chosen = {
        term.feature: tool.key
        for term, tool in zip(remedy.way.terms, remedy.instruments, strict=True)
    }
    again = replace(bench, readings=[], instruments={**WITH, **chosen})
    again.measure(
        Plan(how=How(remedy.way.key)),
        numbers=[result.number],
        fittings=range(2, 2 + remedy.fittings),
    )
    after = next(one for one in _rod_bearings(again) if one.number == result.number)
    evidence, truth = after.measurement.evidence, bench.bearings[result.number]
    if evidence.smallest is None or evidence.largest is None:
        return
    one = seen.setdefault(remedy.way.key, Followed())
    one.asked += 1
    one.fittings += remedy.fittings
    reached = max(q.expanded().half_width for q in (evidence.smallest, evidence.largest))
    one.ratios.append(reached / remedy.expanded_m)
    one.decided += after.verdict.state is not State.CANNOT_TELL
    good = truth.tightest >= 21 * UM and truth.loosest <= 49 * UM
    one.wrong += after.verdict.state is State.RIGHT and not good
