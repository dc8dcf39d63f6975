"""Which oil the films are calculated with."""

from __future__ import annotations

from dataclasses import replace

import pytest

from oilwedge.engine.model import Engine
from oilwedge.engine.supplies import Oil as EngineOil
from oilwedge.engine.supplies import OilSheet
from oilwedge.errors import InputError
from oilwedge.usecases.film_oil import chosen_oil

SHEET = OilSheet(
    viscosity_40c_m2_s=68e-6,
    viscosity_100c_m2_s=10.5e-6,
    density_15c_kg_m3=870.0,
    high_shear_150c_pa_s=None,
)


def with_oil(engine: Engine, oil: EngineOil) -> Engine:
    return replace(engine, oil=oil)


def test_sheet_of_the_engine_file_comes_before_its_grade(bench_engine: Engine) -> None:
    engine = with_oil(bench_engine, EngineOil(grade="5W-30", data_sheet=SHEET))
    found = chosen_oil(engine=engine)
    assert found.oil.nu40_m2_s == pytest.approx(68e-6)
    assert found.name == "5W-30"
    assert "data sheet" in found.words


def test_sheet_without_density_spans_the_usual_ones(bench_engine: Engine) -> None:
    sheet = replace(SHEET, density_15c_kg_m3=None)
    found = chosen_oil(engine=with_oil(bench_engine, EngineOil(grade="", data_sheet=sheet)))
    assert len(found.band.oils) == 2
    assert found.oil.density_kg_m3_at_15c == min(o.density_kg_m3_at_15c for o in found.band.oils)


def test_oil_asked_for_comes_before_all(bench_engine: Engine) -> None:
    engine = with_oil(bench_engine, EngineOil(grade="5W-30", data_sheet=SHEET))
    assert chosen_oil(engine=engine, grade="10W-40").name == "10W-40"
    typed = chosen_oil(engine=engine, data_sheet=["40C=100 mm2/s; 100C=14 mm2/s; 15C=880 kg/m3"])
    assert typed.oil.nu100_m2_s == pytest.approx(14e-6)


def test_grade_alone_is_taken_at_its_thinnest(bench_engine: Engine) -> None:
    found = chosen_oil(engine=with_oil(bench_engine, EngineOil(grade="10W-40")))
    hot = [one.dynamic_viscosity_pa_s(100.0, shear_rate_per_s=1e6) for one in found.band.oils]
    assert found.oil.dynamic_viscosity_pa_s(100.0, shear_rate_per_s=1e6) == min(hot)
    assert "thinnest" in found.words


@pytest.mark.parametrize("grade", ["", "water"])
def test_no_oil_at_all_is_bad_input(bench_engine: Engine, grade: str) -> None:
    with pytest.raises(InputError):
        chosen_oil(engine=with_oil(bench_engine, EngineOil(grade="")), grade=grade)
