"""The cases that the script in the browser runs as well; expected values worked out by hand."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.engine.model import Engine
from oilwedge.errors import InputError
from oilwedge.job.entry import Event, EventKind
from oilwedge.metrology.reading import ReadingForm
from oilwedge.shop.file import read_shop
from oilwedge.shop.model import Shop
from oilwedge.units import UNITS
from oilwedge.usecases.measuring import (
    How,
    SignNeeded,
    Situation,
    resolve,
    situation_json,
    situation_of,
)

DATA = Path(__file__).parents[2] / "data"
FILE = json.loads((DATA / "resolving.json").read_text(encoding="utf-8"))
MM = 1e-3


@pytest.fixture(scope="module")
def case_shop() -> Shop:
    names = ("bench_shop.toml", "coarse_micrometer.toml")
    text = "".join((DATA / name).read_text(encoding="utf-8") for name in names)
    return read_shop(text, file="shop.toml")


@pytest.fixture(scope="module")
def situations(bench_engine: Engine, case_shop: Shop) -> dict[str, Situation]:
    return {
        name: situation_of(
            engine=bench_engine,
            shop=case_shop,
            entries=(),
            feature=one["feature"],
            number=1,
            instrument=one["instrument"],
        )
        for name, one in FILE["situations"].items()
    }


def _name(case: dict[str, Any]) -> str:
    return f"{case['situation']}: {case['typed']!r} {case['unit']}"


@pytest.mark.parametrize("case", FILE["cases"], ids=_name)
def test_typed_text_means_what_its_case_says(
    case: dict[str, Any], situations: dict[str, Situation]
) -> None:
    situation = situations[case["situation"]]
    if "refused" in case:
        with pytest.raises(InputError) as caught:
            resolve(case["typed"], unit=case["unit"], situation=situation)
        assert case["refused"] in str(caught.value).casefold()
        return
    found = resolve(case["typed"], unit=case["unit"], situation=situation)
    value_m = float(Fraction(Decimal(case["value"])) * UNITS[case["in_unit"]].factor)
    assert (found.shown, found.how.value) == (case["shown"], case["how"])
    assert found.value_m == pytest.approx(value_m, abs=1e-15)
    assert (found.form.value, found.bound.value) == (case["form"], case["bound"])
    assert found.unit == case["in_unit"]
    assert list(found.alternatives) == case["alternatives"]
    assert bool(found.doubt) == case["doubt"]
    assert found.text == case["typed"]


def test_the_script_is_given_what_the_cases_were_written_for(
    situations: dict[str, Situation],
) -> None:
    for name, situation in situations.items():
        assert situation_json(situation) == FILE["situations"][name]["data"]


def test_every_way_of_resolving_and_every_outcome_has_cases() -> None:
    hows = {case.get("how") for case in FILE["cases"]}
    assert {how.value for how in How} <= hows
    assert any("refused" in case for case in FILE["cases"])
    assert any(case.get("doubt") for case in FILE["cases"])


@given(microns=st.integers(min_value=47_650, max_value=48_310))
def test_three_last_digits_give_back_any_size_near_its_nominal(
    microns: int, bench_engine: Engine, bench_shop: Shop
) -> None:
    situation = _journal(bench_engine, bench_shop)
    found = resolve(f"{microns % 1000:03d}", unit="mm", situation=situation)
    assert found.value_m == pytest.approx(microns * 1e-6, abs=1e-12)


@given(digits=st.integers(min_value=0, max_value=999_999), unit=st.sampled_from(["mm", "in", "µm"]))
def test_last_digits_never_give_a_value_that_does_not_end_in_them(
    digits: int, unit: str, bench_engine: Engine, bench_shop: Shop
) -> None:
    situation = _journal(bench_engine, bench_shop)
    text = str(digits)
    try:
        found = resolve(text, unit=unit, situation=situation)
    except InputError:
        return
    if found.how is How.LAST_DIGITS:
        number = found.shown.partition(" ")[0].replace(".", "")
        assert number.lstrip("0").endswith(text.lstrip("0")) or number.endswith(text)
        assert not found.doubt
        assert abs(found.value_m - 0.04798) <= 2 * MM


def _journal(engine: Engine, shop: Shop, *entries: Event) -> Situation:
    return situation_of(
        engine=engine, shop=shop, entries=entries, feature="rod_journal", number=3, place="rear"
    )


def test_a_stated_undersize_moves_what_digits_count_from(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    size = Event(id="s", kind=EventKind.SIZE, subject="rod_journal", value="x", step_m=0.5 * MM)
    ground = _journal(bench_engine, bench_shop, size)
    assert resolve("470", unit="mm", situation=ground).shown == "47.470 mm"
    assert resolve("-12", unit="mm", situation=ground).shown == "47.480 − 0.012 = 47.468 mm"


def test_a_doubt_asks_in_one_sentence_and_guesses_the_slip(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    found = resolve("1.889", unit="mm", situation=_journal(bench_engine, bench_shop))
    assert found.doubt == (
        "Rod journal 3, rear: 1.889 mm cannot be; its nominal is 47.98 mm;"
        " did you mean inches (47.98 mm)?"
    )


def test_a_zeroed_gauge_without_a_sign_has_an_error_of_its_own(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    situation = situation_of(
        engine=bench_engine, shop=bench_shop, entries=(), feature="rod_gauge", number=1
    )
    with pytest.raises(SignNeeded, match=r"can read either way; put \+ in front"):
        resolve("0.038", unit="mm", situation=situation)


def test_a_deviation_is_kept_as_itself_and_not_as_the_size(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    found = resolve("-12", unit="mm", situation=_journal(bench_engine, bench_shop))
    assert found.form is ReadingForm.DEVIATION
    assert found.value_m == pytest.approx(-12e-6)
