"""Film against clearance, from an engine file with its duty."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

import oilwedge
from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.errors import InputError, Where
from oilwedge.film.cycle_film import solve_cycle
from oilwedge.usecases.crank_loads import engine_loads
from oilwedge.usecases.film_case import bearing_case
from oilwedge.usecases.film_oil import chosen_oil
from oilwedge.usecases.film_window import film_window, read_film_m
from oilwedge.usecases.film_window_curves import FilmWindow, WindowCurve

pytestmark = pytest.mark.slow

DEMO = Path(oilwedge.__file__).parent / "demo"
HERE = Where(column="--film")


@pytest.fixture(scope="module")
def twin() -> Engine:
    return read_engine((DEMO / "v_twin.toml").read_text(encoding="utf-8"), file="v_twin.toml")


@pytest.fixture(scope="module")
def window(twin: Engine) -> FilmWindow:
    return film_window(
        engine=twin, oils=("5W-30", "10W-40"), conditions=("full load", "hot idle"), folder=DEMO
    )


def curves(window: FilmWindow) -> list[tuple[WindowCurve, ...]]:
    return [condition.curves for kind in window.kinds for condition in kind.conditions]


def test_both_kinds_stand_at_each_condition_asked_for(window: FilmWindow) -> None:
    assert [kind.fit_key for kind in window.kinds] == ["rod_bearing", "main_bearing"]
    for kind in window.kinds:
        assert [one.name for one in kind.conditions] == ["full load", "hot idle"]
        assert kind.oil_names == ("5W-30", "10W-40")


def test_limits_lie_inside_what_is_looked_at(window: FilmWindow) -> None:
    for kind in window.kinds:
        looked_at = kind.conditions[0].curves[0].clearances_m
        assert kind.low_m is not None
        assert kind.service_m is not None
        assert looked_at[0] < kind.low_m < kind.service_m < looked_at[-1]


def test_thicker_oil_keeps_a_thicker_film_and_takes_more_power(window: FilmWindow) -> None:
    for thin, thick in curves(window):
        for place in (20, 40, 60):
            films = thin.minimum_films_m[place], thick.minimum_films_m[place]
            powers = thin.friction_powers_w[place], thick.friction_powers_w[place]
            assert None not in (*films, *powers)
            assert films[0] < films[1]  # type: ignore[operator]
            assert powers[0] < powers[1]  # type: ignore[operator]


def test_wider_clearance_runs_cooler_and_passes_more_oil(window: FilmWindow) -> None:
    for pair in curves(window):
        for curve in pair:
            warm = [one for one in curve.temperatures_c if one is not None]
            flows = [one for one in curve.flows_m3_s if one is not None]
            assert warm == sorted(warm, reverse=True)
            assert flows == sorted(flows)


def test_what_is_kept_everywhere_is_kept_at_each_condition(window: FilmWindow) -> None:
    for kind in window.kinds:
        for oil in kind.oil_names:
            kept = kind.kept_everywhere(oil)
            for condition in kind.conditions:
                own = next(one.kept for one in condition.curves if one.oil_name == oil)
                if kept is not None:
                    assert own is not None
                    assert own.low_m <= kept.low_m <= kept.high_m <= own.high_m
    assert any(kind.kept_everywhere(oil) for kind in window.kinds for oil in kind.oil_names)


def test_bearing_of_a_kind_is_the_one_with_the_thinnest_film_at_mid_limit() -> None:
    four = read_engine((DEMO / "four.toml").read_text(encoding="utf-8"), file="four.toml")
    loads = engine_loads(engine=four, condition="top speed")
    mains = film_window(engine=four, conditions=("top speed",)).kinds[1]
    assert mains.mid_limit_m is not None
    films = {
        load.title: solve_cycle(
            case=bearing_case(engine=four, loads=loads, load=load, chosen_film_m=1e-6).case,
            oil=chosen_oil(engine=four).oil,
            cold_clearance_m=mains.mid_limit_m,
        ).minimum_film_m
        for load in loads.bearings
        if load.fit_key == "main_bearing"
    }
    shown = mains.conditions[0]
    assert films[shown.bearing_title] == min(films.values())
    curve = shown.curves[0]
    swept = curve.at(mains.mid_limit_m, curve.minimum_films_m)
    assert swept == pytest.approx(min(films.values()), rel=2e-3)


def test_engine_without_conditions_says_what_is_missing_and_how_to_get_it(twin: Engine) -> None:
    bare = replace(twin, running=replace(twin.running, conditions=()))
    with pytest.raises(InputError, match="conditions at which the engine runs") as caught:
        film_window(engine=bare)
    assert "write speed, peak pressure" in str(caught.value)


def test_flat_duty_says_which_pressure_is_missing(twin: Engine) -> None:
    text = re.sub(r'(?ms)^\[duty\.conditions\."[^\n]*\n.*?(?=^\[|\Z)', "", twin.text)
    bare = read_engine(text, file="bare.toml")
    with pytest.raises(InputError, match="peak_pressure: films over a cycle need the pressure"):
        film_window(engine=bare)


def test_unknown_condition_is_answered_with_those_that_are_there(twin: Engine) -> None:
    with pytest.raises(InputError, match=r"full load"):
        film_window(engine=twin, conditions=("full lode",))


def test_oil_that_is_none_is_refused(twin: Engine) -> None:
    with pytest.raises(InputError, match="5W-99"):
        film_window(engine=twin, oils=("5W-99",), conditions=("full load",))


def test_engine_without_oil_asks_for_one(twin: Engine) -> None:
    bare = replace(twin, oil=replace(twin.oil, grade="", data_sheet=None))
    with pytest.raises(InputError, match="oil"):
        film_window(engine=bare, conditions=("full load",))


def test_film_is_read_with_its_unit() -> None:
    assert read_film_m("1.5um", where=HERE) == pytest.approx(1.5e-6)
    assert read_film_m(" ", where=HERE) is None


@pytest.mark.parametrize("text", ["0um", "-1um", "1", "1bar"])
def test_film_that_is_none_is_refused_at_its_option(text: str) -> None:
    with pytest.raises(InputError, match="--film"):
        read_film_m(text, where=HERE)
