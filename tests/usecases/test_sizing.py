"""From readings to sizes and fits, beside an independent implementation of the GUM (GTC)."""

from __future__ import annotations

import math
from typing import Any

import GTC
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from oilwedge.job.entry import WorkKind
from oilwedge.metrology.reading import Bound
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import covariance
from oilwedge.usecases.sizing import bearings_by_gap, material_coefficient, pooled_scatter

Bench = Any  # the fixture of conftest.py
UM = 1e-6
RECTANGULAR, RESOLUTION = math.sqrt(3.0), math.sqrt(12.0)
readings_um = st.lists(st.integers(-4, 4), min_size=6, max_size=6)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=30)
@given(um=readings_um, shared=st.booleans())
def test_the_whole_chain_agrees_with_gtc(new_bench: Any, um: list[int], shared: bool) -> None:
    """Journal in four readings, bore in two, gauge set in the journal's micrometer or in another.

    The measurement model is written out reading by reading in GTC: scatter and resolution each
    its own; permissible errors, setting, set-up, room temperature and expansion shared as they
    are; sizes at 20 °C. Compared: value, u, and the part that cancels.
    """
    bench = new_bench()
    mic = "mic" if shared else "mic_two"
    spots = [(p, d) for p in ("front", "rear") for d in ("along", "across")]
    journal_mm = [47.972 + n / 1000 for n in um[:4]]
    bore_mm = [48.010 + n / 1000 for n in um[4:]]
    for (place, way), mm in zip(spots, journal_mm, strict=True):
        bench.read("rod_journal", 1, mm, place, way, instrument=mic)
    for place, mm in zip(("front", "rear"), bore_mm, strict=True):
        bench.read("rod_shell_bore", 1, mm, place, "square", instrument="bore")
    judgement = bench.judge()
    sizes = judgement.sizes
    mean = bench.result("rod_bearing").measurement.evidence.mean

    def scatter_m(feature: str) -> float:
        return float(sizes[feature, 1].repeatability.standard_deviation_m)

    # Permissible error and zero of each micrometer; a gauge that is set in it takes both over.
    micrometer = GTC.ureal(0, 2 * UM / RECTANGULAR) + GTC.ureal(0, 0.5 * UM)
    other = GTC.ureal(0, 2 * UM / RECTANGULAR) + GTC.ureal(0, 0.5 * UM)
    gauge = GTC.ureal(0, 1 * UM / RECTANGULAR)
    room = GTC.ureal(0, 5.0 / RECTANGULAR)
    instruments = GTC.ureal(11.5e-6, 2.0e-6 / RECTANGULAR)

    def at_20(value: Any, feature: str) -> Any:
        part = steel_errors[bench.engine.features[feature].material]
        against = GTC.ureal(0, 1.0 / RECTANGULAR)
        return value * (1 + instruments * room - part * (room + against))

    materials = {bench.engine.features[f].material for f in ("rod_journal", "rod_shell_bore")}
    steel_errors = {
        material: GTC.ureal(
            material_coefficient(material).per_k,
            material_coefficient(material).limit_per_k / RECTANGULAR,
        )
        for material in materials
    }
    journal_error = micrometer if shared else other
    journal_setup = GTC.ureal(0, 1 * UM)
    bore_error = gauge + micrometer + GTC.ureal(0, 1 * UM)
    bore_setup = GTC.ureal(0, 1 * UM)

    def one(mm: float, feature: str) -> Any:
        return mm * 1e-3 + GTC.ureal(0, scatter_m(feature)) + GTC.ureal(0, 1 * UM / RESOLUTION)

    shaft = sum(one(mm, "rod_journal") for mm in journal_mm) / 4 + journal_error + journal_setup
    bore = sum(one(mm, "rod_shell_bore") for mm in bore_mm) / 2 + bore_error + bore_setup
    clearance = at_20(bore, "rod_shell_bore") - at_20(shaft, "rod_journal")
    assert mean.value == pytest.approx(GTC.value(clearance), abs=1e-12)
    assert mean.standard_uncertainty == pytest.approx(GTC.uncertainty(clearance), rel=2e-3)
    covered = covariance(sizes["rod_journal", 1].mean, sizes["rod_shell_bore", 1].mean)
    # what both share: the micrometer (2²/3 + 0.5² µm²) if it is one, and the temperatures
    part = (2 * UM) ** 2 / 3 + (0.5 * UM) ** 2 if shared else 0.0
    temperatures = covered - part
    assert temperatures >= -1e-18
    if materials == {"steel"}:
        assert temperatures < (0.5 * UM) ** 2


def test_the_advised_number_of_fittings_reaches_the_u_that_it_promises(new_bench: Any) -> None:
    """Follow the advice with fresh readings; the tightest place reaches it within 15 %."""

    def fitting(bench: Bench, number: int) -> None:
        steps = ((0, 1, -1, 0), (1, 0), (-1, 1, 0, 0), (0, -1))[number % 2 * 2 : number % 2 * 2 + 2]
        spots = [(p, d) for p in ("front", "rear") for d in ("along", "across")]
        for (place, way), n in zip(spots, steps[0], strict=True):
            bench.read(
                "rod_journal", 1, 47.965 + n / 1000, place, way,
                instrument="mic", fitting=number, setting=str(number),
            )  # fmt: skip
        for place, n in zip(("front", "rear"), steps[1], strict=True):
            bench.read(
                "rod_shell_bore", 1, 48.0105 + n / 1000, place, "square",
                instrument="bore", fitting=number, setting=str(number),
            )  # fmt: skip

    bench = new_bench()
    fitting(bench, 1)
    margin = DecisionRule.SAFETY_MARGIN
    before = bench.result("rod_bearing", rule=margin)
    remedy = next(
        one for one in before.advice.remedies if [i.key for i in one.instruments] == ["bore", "mic"]
    )
    assert remedy.fittings > 1
    followed = new_bench()
    for number in range(1, remedy.fittings + 1):
        fitting(followed, number)
    evidence = followed.result("rod_bearing", rule=margin).measurement.evidence
    for place in (evidence.smallest, evidence.largest):
        assert place.expanded().half_width == pytest.approx(remedy.expanded_m, rel=0.15)


def test_an_aluminium_housing_10_k_warm_opens_a_main_bearing(new_bench: Any) -> None:
    """COMPUTED by hand: 55 mm × 10 K × (about 22e-6 − 11.5e-6) per K, so 5.5 to 6.5 µm too much."""
    bench = new_bench('\n[features.main_housing_bore]\nmaterial = "aluminium"\n')
    for part_c in (20.0, 30.0):
        bench.read("main_gauge", 1, 0.045, "front", instrument="bore", part_c=part_c)
        found = bench.judge().sizes["main_gauge", 1].mean.value
        if part_c == 20.0:
            assert found == pytest.approx(45 * UM, abs=0.05 * UM)
        else:
            aluminium, steel = (material_coefficient(m).per_k for m in ("aluminium", "steel"))
            opened = 54.9875e-3 * 10 * (aluminium - steel)
            assert 45 * UM - found == pytest.approx(opened, rel=0.02)
            assert 5 * UM < opened < 7 * UM
        bench.entries.clear()


def test_a_gap_lies_between_the_bore_and_the_journal_of_its_bearing(bench: Bench) -> None:
    """Also where the engine file gives the limits of a size and no nominal one."""
    found = bearings_by_gap(bench.engine)
    assert found["rod_gauge"].journal.key == "rod_journal"
    assert found["rod_gauge"].housing.key == "rod_shell_bore"
    assert found["main_strip"].diameter_m == pytest.approx(54.9875e-3)


def test_scatter_is_pooled_over_like_features_of_one_instrument(bench: Bench) -> None:
    for number in (1, 2, 3):
        for n in (-1, 1, -1, 1):
            bench.read("crank_end_gap", 1, 0.15 + n * 0.001, instrument="dial gauge")
            bench.read(
                "rod_journal", number, 47.972 + n * 0.001, "front", "along", instrument="mic"
            )
    bench.read("rod_journal", 4, 47.972, instrument="mic")
    bench.read("rod_journal", 4, 47.999, instrument="mic_two")
    groups: dict[tuple[str, int], list[Any]] = {}
    for reading in bench.judge().standing.readings:
        groups.setdefault((reading.feature, reading.number), []).append(reading)
    pooled = pooled_scatter(engine=bench.engine, groups=groups, models={})
    assert set(pooled) == {("crank_end_gap", "dial gauge"), ("rod_journal", "mic")}
    journals = pooled["rod_journal", "mic"]
    # three groups of four at ±1 µm: 3·4·1²/(3·3)
    assert journals.degrees_of_freedom == 9
    assert journals.standard_deviation_m == pytest.approx(math.sqrt(12 / 9) * UM)


def test_a_bound_carries_no_scatter_into_the_pool(bench: Bench) -> None:
    bench.read("rod_gauge", 1, 0.040, bound=Bound.AT_LEAST)
    bench.read("rod_gauge", 1, 0.045)
    groups = {("rod_gauge", 1): list(bench.judge().standing.readings)}
    assert pooled_scatter(engine=bench.engine, groups=groups, models={}) == {}


def test_a_ground_journal_takes_its_scatter_with_it(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.work("rod_journals", WorkKind.GROUND, 1)
    assert ("rod_journal", 1) not in bench.judge().sizes


def worn_journal(bench: Bench, *, repeats: int = 1, scatter_mm: float = 0.0) -> Any:
    """Oval by 20 µm at the front and round at the rear, read in two directions."""
    for n in range(repeats):
        off = scatter_mm * (1 if n % 2 else -1)
        bench.read("rod_journal", 1, 47.980 + off, "front", "along", instrument="mic")
        bench.read("rod_journal", 1, 47.960 - off, "front", "across", instrument="mic")
        bench.read("rod_journal", 1, 47.970 + off, "rear", "along", instrument="mic")
        bench.read("rod_journal", 1, 47.970 - off, "rear", "across", instrument="mic")
    return bench.judge().sizes["rod_journal", 1]


def test_an_oval_at_one_end_only_is_not_averaged_away(bench: Bench) -> None:
    found = worn_journal(bench)
    assert found.out_of_round.value == pytest.approx(20 * UM, rel=0.02)
    assert found.out_of_round.expanded().half_width < 5 * UM
    assert any("each place is judged by itself" in note for note in found.notes)


def test_what_is_left_over_is_scatter_where_repeats_scatter_as_much(bench: Bench) -> None:
    found = worn_journal(bench, repeats=2, scatter_mm=0.01)
    assert not found.form.sections
    assert found.repeatability.standard_deviation_m > 5 * UM
