"""Does the stated 95 % hold? A whole-chain simulation with known truth.

Invented bearings are measured by an invented shop (invented_bearings.py); the readings go through
the product's own judging; what it states is held against the truth (known_truth.py): coverage of
U, bias, how often agreeing ways are called at odds, how often a bad bearing is called right,
whether the chances come true, how often like bearings are told apart, and what the advice is
worth when it is followed. About two minutes:
    python benchmarks/coverage_of_u.py [--engines 100] [--seed 1] [--json FILE]
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from invented_bearings import UM, Bearing, FormSize, How, Plan
from known_truth import (
    STRIPS,
    Scenario,
    Tally,
    demo_engine_and_shop,
    follow_advice,
    reliability,
    run,
)

from oilwedge.shop.model import Shop


def changed(
    *,
    resolution_m: float | None = None,
    repeatability_m: float | None = None,
    unknown_scatter: bool = False,
) -> Callable[[Shop], Shop]:
    """The shop with other instruments of the same names."""

    def change(shop: Shop) -> Shop:
        instruments = {}
        for key, one in shop.instruments.items():
            if resolution_m is not None:
                one = replace(one, resolution_m=resolution_m)
            if repeatability_m is not None:
                one = replace(one, repeatability_m=repeatability_m)
            instruments[key] = replace(one, repeatability_m=None) if unknown_scatter else one
        return replace(shop, instruments=instruments)

    return change


def ways_and_plans() -> Iterator[Scenario]:
    """Every way, both plans, with and without temperatures, 1 and 3 fittings, all forms."""
    for how in How:
        for size in (FormSize.NONE, FormSize.SMALL):
            yield Scenario(plan=Plan(how=how), size=size)
        if how in STRIPS:
            # Inside what the strip can show: past its bars it gives bounds, and what is left
            # of the values is no fair sample.
            yield Scenario(plan=Plan(how=how), low_m=34 * UM, high_m=62 * UM, note="in range")
            continue
        for full, temperatures, fittings, repeats, size in (
            (True, False, 1, 1, FormSize.SMALL),
            (False, True, 1, 1, FormSize.SMALL),
            (False, False, 3, 1, FormSize.SMALL),
            (True, True, 3, 1, FormSize.NONE),
            (True, False, 1, 1, FormSize.LARGE),
            (False, False, 1, 1, FormSize.LARGE),
            (False, False, 1, 1, FormSize.PLAIN),
            (False, False, 1, 3, FormSize.SMALL),
        ):
            plan = Plan(
                how=how, full=full, temperatures=temperatures, fittings=fittings, repeats=repeats
            )
            yield Scenario(plan=plan, size=size)


def odd_shops() -> Iterator[Scenario]:
    """Scatter that nobody stated or that was stated too small, and a coarse step."""
    for repeats in (1, 3):
        yield Scenario(
            plan=Plan(how=How.BORE, repeats=repeats),
            stated_shop=changed(unknown_scatter=True),
            note="scatter not stated",
        )
        yield Scenario(
            plan=Plan(how=How.BORE, repeats=repeats),
            true_shop=changed(repeatability_m=2.5 * UM),
            note="scatter 2.5 times as stated",
        )
        coarse = changed(resolution_m=5 * UM, repeatability_m=0.5 * UM)
        yield Scenario(
            plan=Plan(how=How.BORE, repeats=repeats),
            true_shop=coarse,
            stated_shop=coarse,
            note="step of 5 µm, scatter 0.5 µm",
        )


def at_the_limits() -> Iterator[Scenario]:
    """A truth just beyond a limit: the worst case for calling it right."""
    sides: tuple[tuple[str, Callable[[Bearing], Bearing]], ...] = (
        ("at the low limit", lambda truth: truth.moved(20.99 * UM - truth.tightest)),
        ("at the high limit", lambda truth: truth.moved(49.01 * UM - truth.loosest)),
    )
    for words, side in sides:
        for how, full, size in (
            (How.BORE, False, FormSize.SMALL),
            (How.BORE, True, FormSize.SMALL),
            (How.BORE, True, FormSize.LARGE),
            (How.BORE_AND_WALLS, False, FormSize.SMALL),
            (How.BORE_AND_GAUGE, False, FormSize.SMALL),
            (How.GAUGE, False, FormSize.NONE),
        ):
            yield Scenario(plan=Plan(how=how, full=full), size=size, at=side, note=words)


def like_neighbours() -> Iterator[Scenario]:
    """Bearings with one clearance, or within ± 6 µm of it (about an eighth of the window)."""
    for how in (How.BORE, How.GAUGE, How.WIDTHS):
        for half_um in (0.0, 6.0):
            yield Scenario(
                plan=Plan(how=how),
                low_m=(40.0 - half_um) * UM,
                high_m=(40.0 + half_um) * UM,
                note=f"all within ± {half_um:g} µm",
            )


HEADER = (
    f"{'':58}    coverage of U, %        mean U, µm             bias, µm           bad as right"
    f"  cannot tell   at odds\n{'':58}  mean tight loose taper  oor"
    "  mean tight  loose tap oor   mean tight loose  simple safety  simple safety"
)


def row(title: str, tally: Tally) -> str:
    """One line of the table."""
    hits = list(tally.hits.values())
    covered = " ".join(f"{100 * h.coverage:5.1f}" for h in hits)
    halves = " ".join(f"{h.half / max(h.count, 1):4.1f}" for h in hits)
    biases = " ".join(f"{h.error / max(h.count, 1):5.2f}" for h in hits[:3])
    wrong = " ".join(f"{_percent(n, tally.bad)}" for n in tally.bad_right.values())
    undecided = " ".join(f"{_percent(n, tally.judged)}" for n in tally.open.values())
    odds = _percent(tally.at_odds, tally.pairs)
    return f"{title:58} {covered}  {halves}  {biases}  {wrong}  {undecided}  {odds}"


def _percent(part: int, whole: int) -> str:
    return f"{100 * part / whole:6.1f}" if whole else "     –"


def main() -> None:
    parser = argparse.ArgumentParser(description="Does the stated 95 % hold?")
    parser.add_argument("--engines", type=int, default=100, help="engines of four a scenario")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", help="scenarios whose title holds this")
    parser.add_argument("--json", type=Path, help="write all figures here")
    given = parser.parse_args()
    engine, shop = demo_engine_and_shop()
    figures: dict[str, object] = {"engines": given.engines, "seed": given.seed}
    chances: list[tuple[float, bool]] = []
    parts = {
        "Every way": ways_and_plans(),
        "Shops that differ from their file": odd_shops(),
        "Truth just beyond a limit": at_the_limits(),
        "Like neighbours": like_neighbours(),
    }
    started = time.perf_counter()
    for part, found in parts.items():
        print(f"\n{part}\n{HEADER}")
        for index, scenario in enumerate(found):
            if given.only not in scenario.title:
                continue
            numbered = replace(scenario, seed=1000 * len(figures) + index)
            tally = run(numbered, engine, shop, engines=given.engines, seed=given.seed)
            alarms = (
                f"   named apart in {_percent(tally.alarms, tally.engines).strip()} % of engines"
                if part == "Like neighbours"
                else ""
            )
            print(row(scenario.title, tally) + alarms, flush=True)
            figures[f"{part}: {scenario.title}"] = tally.figures()
            if part == "Every way" and scenario.size in (FormSize.NONE, FormSize.SMALL):
                chances += tally.chances
    print("\nChance of being inside both limits: said, and what happened (no or small form)")
    table = reliability(chances)
    for words, count, said, happened in table:
        print(f"  said {words}: {count:6d} bearings, said {said:6.1%}, happened {happened:6.1%}")
    figures["reliability"] = table
    print("\nAdvice followed with fresh readings (safety margin)")
    followed = follow_advice(engine, shop, engines=given.engines, seed=given.seed)
    for way, one in followed.items():
        if one.asked:
            print(
                f"  {way}: {one.asked} times, {one.fittings / one.asked:.1f} fittings on average; "
                f"U reached/promised {np.mean(one.ratios):.2f} "
                f"({np.quantile(one.ratios, 0.05):.2f} to {np.quantile(one.ratios, 0.95):.2f}); "
                f"decided {one.decided / one.asked:.0%}; bad called right {one.wrong}"
            )
        else:
            print(f"  no instrument on the list can: {one.none_can} times")
        figures[f"advice: {way}"] = {
            "asked": one.asked,
            "none_can": one.none_can,
            "decided": one.decided,
            "bad_called_right": one.wrong,
            "mean_reached_over_promised": float(np.mean(one.ratios)) if one.ratios else None,
        }
    print(f"\n{time.perf_counter() - started:.0f} s")
    if given.json is not None:
        given.json.write_text(json.dumps(figures, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
