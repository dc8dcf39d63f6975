"""The films of the invented engines over a cycle, as their readings leave them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import oilwedge
from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.errors import InputError
from oilwedge.shop.file import read_shop
from oilwedge.usecases.demonstration import DemoEngine, demo_bytes, demonstration
from oilwedge.usecases.film_cycle import BearingFilm, EngineFilm, film_cycle
from oilwedge.usecases.importing import BadRows, read_table
from oilwedge.usecases.judgement import Judgement
from oilwedge.usecases.judging import judge

pytestmark = pytest.mark.slow

DEMO = Path(oilwedge.__file__).parent / "demo"
FULL_LOAD = "full load"


def judgement_of(demo: DemoEngine, **change: Any) -> Judgement:
    names = demonstration(demo)
    engine = read_engine(demo_bytes(names.engine_file).decode(), file=names.engine_file)
    shop = read_shop(demo_bytes("shop.toml").decode(), file="shop.toml")
    read = read_table(
        demo_bytes(names.readings_file),
        engine=engine,
        shop=shop,
        name=names.readings_file,
        bad_rows=BadRows.KEEP_GOOD,
    )
    return judge(engine=replace(engine, **change), shop=shop, entries=read.entries)


def at_full_load(judgement: Judgement, **options: Any) -> EngineFilm:
    (film,) = film_cycle(
        judgement=judgement, condition=FULL_LOAD, folder=DEMO, **({"draws": 0} | options)
    )
    return film


@pytest.fixture(scope="module")
def four() -> Judgement:
    return judgement_of(DemoEngine.FOUR)


@pytest.fixture(scope="module")
def twin() -> Judgement:
    return judgement_of(DemoEngine.V_TWIN)


@pytest.fixture(scope="module")
def film(four: Judgement) -> EngineFilm:
    return at_full_load(four)


@pytest.fixture(scope="module")
def drawn(twin: Judgement) -> EngineFilm:
    return at_full_load(twin, draws=300)


def bearing(film: EngineFilm, key: str) -> BearingFilm:
    found = film.bearing(key)
    assert found is not None
    return found


def test_every_bearing_has_an_answer_or_a_reason(film: EngineFilm) -> None:
    keys = [one.load.key for one in film.bearings] + [one.key for one in film.left_out]
    assert sorted(keys) == sorted(one.key for one in film.loads.bearings)
    assert len(keys) == 9
    assert all(one.why for one in film.left_out)


def test_bearing_whose_readings_disagree_is_left_out(film: EngineFilm) -> None:
    (lost,) = film.left_out
    assert lost.title == "main bearing 2"
    assert "disagree" in lost.why
    assert any("main bearing 2" in sentence for sentence in film.sentences)


def test_alike_loaded_big_ends_differ_by_clearance_alone(film: EngineFilm) -> None:
    rods = [one for one in film.bearings if one.load.fit_key == "rod_bearing"]
    assert len({one.at_mid_limit.orbit.minimum_film_m for one in rods if one.at_mid_limit}) == 1
    by_clearance = sorted(rods, key=lambda one: one.cold_clearance_m)
    assert [one.load.key for one in by_clearance] == ["rod 1", "rod 2", "rod 3", "rod 4"]
    warm = [one.film.film_temperature_c for one in by_clearance]
    flow = [one.film.oil_flow_m3_s for one in by_clearance]
    assert warm == sorted(warm, reverse=True), "a wider gap lets more oil through and runs cooler"
    assert flow == sorted(flow)


def test_worn_big_end_is_the_thinnest_and_its_verdict_stays(film: EngineFilm) -> None:
    assert film.thinnest is not None
    worn = film.thinnest
    assert worn.load.key == "rod 4"
    assert worn.change_from_mid_limit is not None
    assert worn.change_from_mid_limit < -0.1
    assert "thinner than at the middle of the limits" in worn.sentence
    assert worn.sentence.endswith("Its verdict stays: past service limit.")


def test_tapered_journal_is_known_by_its_form(film: EngineFilm) -> None:
    shapes = {one.load.key: abs(one.shape.journal_taper_m) for one in film.bearings}
    assert max(shapes, key=lambda key: shapes[key]) == "rod 3"
    assert "taper" in bearing(film, "rod 3").sentence


@pytest.mark.parametrize("demo", list(DemoEngine))
def test_thinner_oil_leaves_less_film_in_every_bearing(demo: DemoEngine) -> None:
    judgement = judgement_of(demo)
    thin, thick = (at_full_load(judgement, oil=grade) for grade in ("0W-20", "15W-50"))
    assert thin.bearings
    for one in thin.bearings:
        other = bearing(thick, one.load.key)
        assert one.minimum_film_m < other.minimum_film_m
        assert one.film.mean_friction_power_w < other.film.mean_friction_power_w


def test_clearance_at_mid_limit_gives_the_film_of_mid_limit(twin: Judgement) -> None:
    one = at_full_load(twin).bearings[0]
    assert one.mid_limit_m is not None
    assert one.at_mid_limit is not None
    assert one.at_mid_limit.cold_clearance_m == pytest.approx(one.mid_limit_m)
    same_place = one.cold_clearance_m < one.mid_limit_m
    assert same_place == (one.film.hot_clearance_m < one.at_mid_limit.hot_clearance_m)


def test_film_lies_in_its_band_and_the_shares_add_up(drawn: EngineFilm) -> None:
    assert drawn.draws == 300
    assert sum(one.thinnest_share or 0.0 for one in drawn.bearings) == pytest.approx(1.0)
    for one in drawn.bearings:
        assert one.band is not None
        band = one.band.minimum_film_m
        assert band.low < one.minimum_film_m < band.high
        assert "not known for sure" in one.sentence


def test_same_seed_gives_the_same_bands(twin: Judgement, drawn: EngineFilm) -> None:
    again = at_full_load(twin, draws=300)
    assert [one.band for one in again.bearings] == [one.band for one in drawn.bearings]


def test_without_draws_there_are_no_bands(film: EngineFilm) -> None:
    assert film.draws == 0
    assert all(one.band is None for one in film.bearings)


def test_all_conditions_of_the_file_are_answered_in_its_order(twin: Judgement) -> None:
    films = film_cycle(judgement=twin, draws=0, folder=DEMO)
    names = [one.name for one in twin.engine.running.conditions]
    assert [one.condition.name for one in films] == names


def test_condition_is_found_whatever_its_capitals(twin: Judgement) -> None:
    (film,) = film_cycle(judgement=twin, condition=" Full  Load", draws=0, folder=DEMO)
    assert film.condition.name == FULL_LOAD


def test_long_work_tells_what_it_is_about(twin: Judgement) -> None:
    heard: list[str] = []
    at_full_load(twin, progress=heard.append)
    assert heard[-1] == "full load: journal paths of 4 bearings ..."


def test_everything_missing_is_listed_with_the_way_to_get_it(bench_engine: Engine) -> None:
    judgement = judgement_of(DemoEngine.FOUR)
    with pytest.raises(InputError) as caught:
        film_cycle(judgement=replace(judgement, engine=bench_engine))
    sentences = str(caught.value).splitlines()
    assert len(sentences) > 5
    for sentence in sentences:
        assert sentence.startswith("engine file, [")
        assert "; " in sentence, "it says how to get it"
    assert any("[oil] grade" in sentence for sentence in sentences)
    assert any("[crank_train]" in sentence for sentence in sentences)
    with pytest.raises(InputError) as with_oil:
        film_cycle(judgement=replace(judgement, engine=bench_engine), oil="5W-30")
    assert "[oil] grade" not in str(with_oil.value)


@pytest.mark.parametrize("draws", [-1, 1, 99, 2_000_000])
def test_number_of_builds_that_makes_no_band_is_bad_input(twin: Judgement, draws: int) -> None:
    with pytest.raises(InputError, match="100 to 1000000 virtual builds"):
        film_cycle(judgement=twin, draws=draws, folder=DEMO)


def test_unknown_bearing_for_the_reference_route_is_bad_input(twin: Judgement) -> None:
    with pytest.raises(InputError, match=r"rod 1, rod 2, main 1, main 2; did you mean 'rod 2'"):
        at_full_load(twin, reference="rod 9")


def test_reference_route_agrees_with_the_quick_one_for_the_same_film(four: Judgement) -> None:
    """The two may differ by 2 % with the same rupture and feed: what both are asked to reach."""
    film = at_full_load(four, reference="Big end 1")
    one = bearing(film, "rod 1")
    assert one.reference is not None
    assert one.reference.film is not None
    quick, slow = one.minimum_film_m, one.reference.film.minimum_film_m
    assert quick == pytest.approx(slow, rel=0.02)
    assert one.reference.mass_conserving is not None
    assert "reference route" in one.sentence
    assert bearing(film, "rod 2").reference is None
