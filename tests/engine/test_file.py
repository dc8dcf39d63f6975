"""What is said about an engine file, good or bad: one sentence for each fault, all in one go."""

import re
from importlib import resources

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from oilwedge.engine.file import Checked, check_engine, decode_engine, read_engine
from oilwedge.engine.model import Engine, JudgedAt, LimitsSource, RunoutMeaning, ServiceFor
from oilwedge.errors import EngineFileError
from oilwedge.uncertainty.conformity import DecisionRule

DEMO = resources.files("oilwedge").joinpath("demo")
DEMO_FILES = ("four.toml", "three_diesel.toml", "v_twin.toml")
FOUR = DEMO.joinpath("four.toml").read_text(encoding="utf-8")

HEAD = """\
format = 1
[engine]
name = "trial"
[layout]
kind = "in-line"
cylinders = 4
firing_order = [1, 3, 4, 2]
throw_angles = ["0 deg", "180 deg", "180 deg", "0 deg"]
main_bearings = 5
"""


def check(text: str) -> Checked:
    return check_engine(text, file="e.toml")


def faults_of(text: str) -> list[str]:
    return [fault.sentence() for fault in check(text).faults]


def only_fault(text: str) -> str:
    faults = faults_of(text)
    assert len(faults) == 1, faults
    return faults[0]


def warnings_of(text: str) -> list[str]:
    checked = check(text)
    assert not checked.faults, [fault.sentence() for fault in checked.faults]
    return [warning.sentence() for warning in checked.warnings]


def engine_of(text: str) -> Engine:
    return read_engine(text, file="e.toml")


def assert_says(sentence: str, *parts: str) -> None:
    for part in parts:
        assert part in sentence, f"{part!r} is not in {sentence!r}"


@pytest.mark.parametrize("name", DEMO_FILES)
def test_a_demo_engine_has_neither_faults_nor_warnings(name: str) -> None:
    checked = check_engine(DEMO.joinpath(name).read_text(encoding="utf-8"), file=name)
    assert (checked.faults, checked.warnings) == ((), ())
    assert checked.engine is not None


@pytest.mark.parametrize("name", [*DEMO_FILES, "shop.toml"])
def test_a_demo_file_says_that_it_is_invented(name: str) -> None:
    assert re.search("invented|made up", DEMO.joinpath(name).read_text(encoding="utf-8")[:200])


def test_the_four_holds_the_limits_as_written() -> None:
    engine = engine_of(FOUR)
    fit = engine.fit("rod_bearing", 2)
    assert (fit.low_m, fit.high_m, fit.service_high_m) == (2.1e-5, 4.9e-5, 6e-5)
    assert fit.service_low_m is None
    assert (fit.count, fit.unit) == (4, "mm")
    assert [way.key for way in fit.ways] == ["bore", "walls", "gauge", "strip"]
    assert engine.fit("main_bearing", 3).low_m == 2.8e-5
    assert engine.fit("main_bearing", 2).low_m == 2.4e-5
    assert engine.fit("main_bearing", 3).limits_from == engine.fit("main_bearing").limits_from
    journal = engine.feature("rod_journal", 1)
    assert (journal.nominal_m, journal.low_m, journal.high_m) == pytest.approx(
        (0.04798, 0.047965, 0.04798), abs=1e-12
    )
    assert engine.rule is DecisionRule.SIMPLE


def test_the_diesel_is_read_in_inches() -> None:
    engine = engine_of(DEMO.joinpath("three_diesel.toml").read_text(encoding="utf-8"))
    assert engine.rule is DecisionRule.SAFETY_MARGIN
    assert engine.fits["rod_bearing"].high_m == pytest.approx(0.0034 * 0.0254, rel=1e-12)
    assert engine.fits["rod_bearing"].unit == "thou"
    runout = engine.fits["crank_runout"]
    assert runout.meaning is RunoutMeaning.BEND
    assert runout.ways[0].terms[0].coefficient == 0.5
    assert engine.fits["main_journal_taper"].per_length_m == 0.0254


def test_the_twin_has_two_rods_on_one_pin_and_a_fit_of_its_own() -> None:
    engine = engine_of(DEMO.joinpath("v_twin.toml").read_text(encoding="utf-8"))
    assert [throw.rods for throw in engine.layout.throws] == [(1, 2)]
    assert engine.layout.bank_angle_deg == (26.0, -26.0)
    own = engine.fits["balance_bearing"]
    assert own.features == ("balance_bore", "balance_journal")
    assert own.parts == ("balance_bush", "balance_shaft")
    # ISO 286-1, h6 over 30 to 50 mm: 0/-16 µm; H6: +16/0 µm (READ)
    journal = engine.features["main_journal"]
    assert (journal.low_m, journal.high_m) == pytest.approx((0.044984, 0.045), abs=1e-12)
    housing = engine.features["rod_housing_bore"]
    assert (housing.low_m, housing.high_m) == pytest.approx((0.041, 0.041016), abs=1e-12)
    assert engine.fasteners["rod_bolts"].reuse_times == 3
    assert [stage.angle_deg for stage in engine.fasteners["rod_bolts"].stages] == [None, 120.0]


def test_a_size_that_is_judged_takes_its_limits_from_the_size() -> None:
    fit = engine_of(FOUR).fits["rod_journal_size"]
    assert fit.limits_source is LimitsSource.SIZE
    assert (fit.low_m, fit.high_m) == pytest.approx((0.047965, 0.04798), abs=1e-12)


def test_without_limits_a_fit_has_none_and_the_common_practice_says_so() -> None:
    fit = engine_of(HEAD + "[fits.rod_bearing]\n").fits["rod_bearing"]
    assert not fit.has_limits
    assert fit.practice_text == "0.025 to 0.076 mm (common practice, no source)"


def test_what_a_limit_means_is_read() -> None:
    fit = engine_of(
        HEAD + '[fits.rod_bearing]\nbuild = ["0.02 mm", ""]\n'
        'judged_at = "mean"\nservice_for = "any re-used"\n'
    ).fits["rod_bearing"]
    assert (fit.low_judged_at, fit.high_judged_at) == (JudgedAt.MEAN, JudgedAt.MEAN)
    assert fit.service_for is ServiceFor.ANY_REUSED
    assert fit.high_m is None


SIZES = '[features.rod_journal]\nsize = ["47.965 mm", "47.980 mm"]\n'


@pytest.mark.parametrize(
    ("addition", "line", "parts"),
    [
        ("[fitts]\n", 10, ("fitts", "not known here", "did you mean 'fits'?")),
        (
            '[fits.rod_baering]\nbuild = ["1 mm", "2 mm"]\n',
            10,
            ("not in the catalogue", "did you mean 'rod_bearing'?"),
        ),
        (
            '[fits.rod_bearing]\nbiuld = ["0.02 mm", "0.05 mm"]\n',
            11,
            ("fits.rod_bearing.biuld", "did you mean 'build'?"),
        ),
        (
            '[fits.rod_bearing]\nbuild = ["0.049 mm", "0.021 mm"]\n',
            11,
            ("0.049 mm to 0.021 mm", "low side must not be above", "swap them"),
        ),
        (
            '[fits.rod_bearing]\nbuild = ["0.021 mm", "0.049 mm"]\nservice = "0.040 mm"\n',
            12,
            ("0.040 mm", "service limit lies inside the build limits", "0.049 mm"),
        ),
        (
            '[fits.rod_bearing]\nbuild = ["0.021 mm", "0.049 mm"]\ntarget = "0.06 mm"\n',
            12,
            ("0.06 mm", "inside the build limits"),
        ),
        (
            '[fits.rod_bearing]\nbuild = "0.049 mm"\n',
            11,
            ("a low and a high limit are needed", '["", "0.049 mm"]'),
        ),
        ("[fits.rod_bearing]\nbuild = [0.021, 0.049]\n", 11, ("0.021", "unit is missing")),
        (
            '[fits.rod_bearing]\nbuild = ["0.021", "0.049"]\n',
            11,
            ("0.021", "unit is missing"),
        ),
        (
            '[fits.rod_bearing]\nbuild = ["0.021 N m", "0.049 mm"]\n',
            11,
            ("unit of torque", "a length is needed"),
        ),
        (
            '[fits.rod_bearing]\nbuild = ["0.021 in", "0.049 mm"]\n',
            11,
            ("0.021 in to 0.049 mm", "must not be above", "check the units of both"),
        ),
        (
            '[fits.rod_bearing]\nbuild = ["0.021 mm", "0.049 cm"]\nservice = "6 mm"\n',
            12,
            ("6 mm", "between 0 mm and 1 mm", "did you mean 6 thou?"),
        ),
        (
            '[fits.rod_bearing]\nways = ["bore", "stripe"]\n',
            11,
            ("stripe", "bore, walls, gauge, strip", "did you mean 'strip'?"),
        ),
        (
            '[fits.rod_bearing]\nmeaning = "bend"\n',
            11,
            ("bend", "rod bearing has none"),
        ),
        (
            '[fits.crank_runout]\nmeaning = "per length"\nlength = "1 in"\n',
            11,
            ("'total reading' or 'bend'",),
        ),
        (
            '[fits.rod_journal_taper]\nmeaning = "per length"\n',
            10,
            ("go together", 'length = "25 mm"'),
        ),
        (
            '[fits.rod_journal_taper]\nbuild = ["0.001 mm", "0.005 mm"]\n',
            11,
            ("upper limit only",),
        ),
        (
            '[fits.main_bearing.numbers.7]\nbuild = ["0.02 mm", "0.05 mm"]\n',
            10,
            ("fits.main_bearing.numbers.7", "from 1 to 5"),
        ),
        (
            '[fits.mine]\ntitle = "my fit"\nper = "rod"\n'
            'terms = [{ feature = "rod_jurnal", times = 1 }]\n',
            13,
            ("rod_jurnal", "neither in the catalogue nor in this file"),
        ),
        (
            '[fits.mine]\ntitle = "my fit"\nper = "rod"\nterms = [{ feature = "pin" }]\n',
            13,
            ("a term needs feature and times",),
        ),
        (
            '[fits.mine]\ntitle = "my fit"\nper = "main"\n'
            'terms = [{ feature = "rod_journal", times = 1 }]\n',
            13,
            ("counted by main", "counted alike"),
        ),
        ("[fits.mine]\n", 10, ("one of your own needs title, per, terms",)),
        (
            '[features.rod_journl]\nsize = ["1 mm", "2 mm"]\n',
            10,
            ("not in the catalogue", "title, per, shape", "did you mean 'rod_journal'?"),
        ),
        (
            '[features.rod_journal]\nnominal = "47.97 in"\n',
            11,
            ("47.97 in", "1218.438 mm", "8 mm and 400 mm", "did you mean 47.97 mm?"),
        ),
        (
            '[features.rod_journal]\nnominal = "1.8886 mm"\n',
            11,
            ("1.8886 mm", "did you mean 1.8886 in?"),
        ),
        (
            '[features.rod_journal]\nsize = ["47.98 mm", "47.965 mm"]\n',
            11,
            ("47.98 mm to 47.965 mm", "swap them"),
        ),
        (
            '[features.rod_journal]\ntolerance = ["-0.015 mm", "0 mm"]\n',
            10,
            ("nominal", "tolerance stands alone"),
        ),
        (
            '[features.rod_journal]\nnominal = "48 mm"\ntolerance = ["0 mm", "-0.015 mm"]\n',
            12,
            ("swap them",),
        ),
        (
            '[features.rod_journal]\nnominal = "48 mm"\ntolerance = ["47.9 mm", "48 mm"]\n',
            12,
            ("counted from the nominal", "size = [low, high]"),
        ),
        (
            '[features.rod_journal]\nnominal = "48 mm"\nclass = "h66"\n',
            12,
            ("features.rod_journal.class", "h66", "the table holds"),
        ),
        (
            '[features.rod_journal]\nnominal = "48 mm"\nclass = "h6"\ntolerance = [0, "0.1 mm"]\n',
            12,
            ("in one way only",),
        ),
        (
            SIZES + '[features.rod_housing_bore]\nsize = ["4.700 cm", "4.701 cm"]\n',
            10,
            ("47.965 mm", "rod journal is not smaller than big-end housing", "47.010"),
        ),
        (
            SIZES + '[features.rod_shell_bore]\nsize = ["47.900 mm", "47.960 mm"]\n',
            10,
            ("rod journal is not smaller than rod bearing bore", "47.960 mm"),
        ),
        (
            '[features.rod_journal]\nnominal = "4.797 in"\n'
            '[features.rod_housing_bore]\nnominal = "51 mm"\n',
            10,
            ("4.79700 in", "51.000 mm", "check both figures and their units"),
        ),
        (
            '[features.rod_journal]\nmaterial = "stel"\n',
            11,
            ("stel", "did you mean 'steel'?"),
        ),
        (
            '[features.rod_journal]\ninstrument = "micrometre"\n',
            11,
            ("did you mean 'micrometer'?",),
        ),
        (
            '[features.rod_journal]\nper = "main"\n',
            11,
            ("is 'rod' in the catalogue",),
        ),
        ("[features.cam_journal]\n", 4, ("layout.cam_bearings", "missing", "cam_bearings = 5")),
        ('[fasteners.rod_bolts]\nreuse = "twice"\n', 11, ("'3 times'",)),
        ('[fasteners.rod_bolts]\nstages = ["20"]\n', 11, ("20", "'20 N m'")),
        ('[fasteners.rod_bolts]\nstages = ["-20 N m"]\n', 11, ("above 0",)),
        ('[grades.rod_shells]\nundersizes = ["25 mm"]\n', 11, ("25 mm", "did you mean 25 thou?")),
        ('[duty]\nspeed = "6000 mm"\n', 11, ("6000 mm", "speed of rotation")),
        ("[duty]\nspeed = 6000\n", 11, ("6000", '"6000 rpm"')),
        ("[oil]\ngrade = 5\n", 11, ("oil.grade", "text in quotes")),
        ("[oil]\ngrade = []\n", 11, ("text in quotes",)),
    ],
)
def test_a_fault_is_one_sentence_with_line_and_key(
    addition: str, line: int, parts: tuple[str, ...]
) -> None:
    sentence = only_fault(HEAD + addition)
    assert_says(sentence, f"e.toml, line {line}, ", *parts)
    assert "\n" not in sentence


@pytest.mark.parametrize(
    ("before", "after", "line", "parts"),
    [
        ("firing_order = [1, 3, 4, 2]", "", 4, ("layout.firing_order", "missing", "[1, 3, 4, 2]")),
        (
            "firing_order = [1, 3, 4, 2]",
            "frng_order = [1, 3, 4, 2]\nfiring_order = [1, 3, 4, 2]",
            7,
            ("frng_order", "did you mean 'firing_order'?"),
        ),
        ("[1, 3, 4, 2]", "[1, 3, 4, 3]", 7, ("every cylinder from 1 to 4", "missing: 2, twice: 3")),
        ("[1, 3, 4, 2]", "[1, 3, 4, 5]", 7, ("no such cylinder: 5",)),
        ("[1, 3, 4, 2]", '"1342"', 7, ("a list [...] is needed",)),
        ('"180 deg", "0 deg"]', '"180 deg"]', 8, ("3 throw angles", "need 4 angles")),
        ('"0 deg"]', '"0 mm"]', 8, ("layout.throw_angles[4]", "unit of length")),
        ("main_bearings = 5", "main_bearings = 6", 9, ("with 4 throws there can be 2 to 5",)),
        ("main_bearings = 5", "main_bearings = 1", 9, ("2 to 5 main bearings",)),
        ("main_bearings = 5", "main_bearings = 5.5", 9, ("5.5", "whole number")),
        ("main_bearings = 5", "main_bearings = true", 9, ("true", "whole number")),
        ("cylinders = 4", "cylinders = 0", 6, ("greater than or equal 1",)),
        ('kind = "in-line"', 'kind = "W"', 5, ("'in-line', 'V' or 'flat'",)),
        ('kind = "in-line"', 'kind = "V"\nbanks = [[1, 3], [2, 4]]', 4, ("v_angle", "missing")),
        (
            'kind = "in-line"',
            'kind = "V"\nbanks = [[1, 3], [2]]\nv_angle = "90 deg"',
            6,
            ("every cylinder from 1 to 4",),
        ),
        ('kind = "in-line"', 'kind = "in-line"\nv_angle = "90 deg"', 6, ("one bank",)),
        (
            "main_bearings = 5",
            "rods_on_throw = [[1], [2], [3], [3]]\nmain_bearings = 5",
            9,
            ("every rod from 1 to 4", "missing: 4"),
        ),
        ("format = 1", "format = 2", 1, ("reads format 1",)),
        ("format = 1", "", None, ("format", "missing")),
        ('name = "trial"', "", 2, ("engine.name", "missing")),
        ('name = "trial"', "name = trial", 3, ("name = trial", "cannot be read as TOML")),
        ('name = "trial"', 'name = "trial', 3, ("cannot be read as TOML",)),
        ("cylinders = 4", "cylinders = 4\ncylinders = 4", 7, ("cannot be read as TOML",)),
    ],
)
def test_a_fault_of_the_layout_is_one_sentence(
    before: str, after: str, line: int | None, parts: tuple[str, ...]
) -> None:
    assert before in HEAD
    sentence = only_fault(HEAD.replace(before, after))
    assert_says(sentence, f"e.toml, line {line}" if line else "e.toml, ")
    assert_says(sentence, *parts)


def test_all_faults_come_in_one_go_and_in_the_order_of_the_lines() -> None:
    text = HEAD.replace("[1, 3, 4, 2]", "[1, 2]").replace('name = "trial"', "name = 5")
    text += (
        "[marks]\nfrnt = 'x'\n"
        "[features.rod_journal]\nsize = ['48 mm', '47 mm']\n"
        "[fits.rod_bearing]\nbuild = ['0.02', '0.05 mm']\n"
        "[fits.rod_bearing.numbers.9]\n"
        "[oil]\ngrade = 5\n"
    )
    lines = [fault.where.line for fault in check(text).faults]
    assert lines == [3, 7, 11, 13, 15, 16, 18]
    with pytest.raises(EngineFileError) as caught:
        read_engine(text, file="e.toml")
    assert len(str(caught.value).splitlines()) == 7


def test_a_fault_hides_no_other_in_the_same_table() -> None:
    faults = faults_of(HEAD + "[fits.rod_bearing]\nbuild = ['0.02 mm']\nservice = '6 mm'\nx = 1\n")
    assert len(faults) == 3


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("", ("the file is empty", "oilwedge engine new")),
        ("\ufeff  \n# only a comment\n", ("the file is empty",)),
        ("a = " + "[" * 5000, ("nested too deeply",)),
        ("a = " + "9" * 5000, ("too many digits",)),
        ("a = 1\nb = '\ud800'", ("line 2", "this is no character", "UTF-8")),
        ("x" * 5_000_001, ("5.0 MB", "no more than 5 MB")),
    ],
)
def test_text_that_is_no_engine_file_is_refused_in_one_sentence(
    text: str, parts: tuple[str, ...]
) -> None:
    assert_says(only_fault(text), *parts)


def test_a_file_in_another_encoding_is_refused_with_its_line() -> None:
    with pytest.raises(EngineFileError, match=r"e\.toml, line 2: .*0xe9.*UTF-8"):
        decode_engine("a = 1\nname = 'é'".encode("latin-1"), file="e.toml")


def test_a_file_over_5_mb_is_refused() -> None:
    with pytest.raises(EngineFileError, match=r"6\.0 MB.*no more than 5 MB"):
        decode_engine(b" " * 6_000_000, file="e.toml")


def test_a_byte_order_mark_is_no_fault() -> None:
    assert engine_of(decode_engine(b"\xef\xbb\xbf" + HEAD.encode(), file="e.toml")).name == "trial"


def test_windows_line_ends_change_neither_engine_nor_lines() -> None:
    text = HEAD + "[oil]\ngrade = 5\n"
    assert faults_of(text.replace("\n", "\r\n")) == faults_of(text)


@pytest.mark.parametrize(
    ("addition", "parts"),
    [
        (
            SIZES + '[features.rod_shell_bore]\nsize = ["48.10 mm", "48.12 mm"]\n'
            '[fits.rod_bearing]\nbuild = ["0.021 mm", "0.049 mm"]\n',
            ("0.021 mm to 0.049 mm", "0.120 mm to 0.155 mm", "wholly over the build limits"),
        ),
        (
            SIZES + '[features.rod_housing_bore]\nsize = ["51 mm", "51.01 mm"]\n'
            '[features.rod_upper_wall]\nnominal = "1.6 mm"\n'
            '[features.rod_lower_wall]\nnominal = "1.6 mm"\n'
            '[fits.rod_bearing]\nbuild = ["0.021 mm", "0.049 mm"]\n',
            ("rod shell wall", "-0.180 mm to -0.155 mm", "wholly under"),
        ),
        (
            '[features.rod_journal]\nparts = ["rod_journal"]\n',
            ("rod_journal", "did you mean 'rod_journals'?"),
        ),
    ],
)
def test_what_looks_wrong_is_a_warning_with_its_figures(
    addition: str, parts: tuple[str, ...]
) -> None:
    warnings = warnings_of(HEAD + addition)
    assert len(warnings) == 1, warnings
    assert_says(warnings[0], *parts)


def test_a_low_service_limit_may_only_lie_further_out() -> None:
    text = HEAD + '[fits.rod_bearing]\nbuild = ["0.02 mm", "0.05 mm"]\nservice = ["{}", ""]\n'
    assert faults_of(text.format("0.015 mm")) == []
    assert_says(only_fault(text.format("0.025 mm")), "0.025 mm", "above the low build limit")


def test_sizes_that_overlap_can_be_assembled() -> None:
    text = (
        HEAD
        + '[features.rod_journal]\nsize = ["48.01 mm", "48.03 mm"]\n'
        + '[features.rod_shell_bore]\nsize = ["48.00 mm", "48.02 mm"]\n'
    )
    assert faults_of(text) == []


def test_an_order_that_the_throws_cannot_fire_in_is_warned_of() -> None:
    warnings = warnings_of(HEAD.replace("[1, 3, 4, 2]", "[1, 4, 2, 3]"))
    assert_says(warnings[0], "cannot fire in this order")


def test_banks_that_are_not_given_are_taken_as_usual_and_said() -> None:
    text = HEAD.replace('kind = "in-line"', 'kind = "flat"').replace("1, 3, 4, 2", "1, 3, 2, 4")
    assert_says(warnings_of(text)[0], "banks = [[1, 3], [2, 4]]", "common practice")
    assert engine_of(text).layout.bank_angle_deg == (90.0, -90.0, 90.0, -90.0)


def test_a_pressed_pin_is_no_fault() -> None:
    text = (
        HEAD
        + '[features.pin]\nnominal = "21 mm"\n[features.small_end_bore]\nnominal = "20.97 mm"\n'
        '[fits.pin_in_rod]\nbuild = ["-0.04 mm", "-0.02 mm"]\n'
    )
    assert check(text).warnings == ()


def test_a_number_that_differs_is_looked_at_with_its_own_size() -> None:
    text = (
        HEAD
        + SIZES
        + '[features.rod_journal.numbers.3]\nsize = ["48.965 mm", "48.980 mm"]\n'
        + '[features.rod_shell_bore]\nsize = ["48.001 mm", "48.014 mm"]\n'
    )
    assert_says(only_fault(text), "numbers.3", "rod journal 3 is not smaller")


@given(
    unit=st.sampled_from([("mm", 1e-3), ("in", 0.0254), ("thou", 2.54e-5), ("µm", 1e-6)]),
    low=st.integers(10, 400),
    span=st.integers(0, 300),
)
def test_limits_mean_the_same_in_every_unit(unit: tuple[str, float], low: int, span: int) -> None:
    """Exact factors: 1 in is 25.4 mm (READ, international inch)."""
    name, factor_m = unit
    sides = [micrometres * 1e-6 / factor_m for micrometres in (low, low + span)]
    build = ", ".join(f'"{side:.12f} {name}"' for side in sides)
    fit = engine_of(HEAD + f"[fits.rod_bearing]\nbuild = [{build}]\n").fits["rod_bearing"]
    assert (fit.low_m, fit.high_m) == pytest.approx((low * 1e-6, (low + span) * 1e-6), abs=1e-12)


WORDS = st.sampled_from(
    ['"', "'", "[", "]", "{", "}", "=", "\n", "#", ",", "0", "-", "mm", "in", "[[a]]", "\x00", "é",
     "numbers", "nan", "inf", "1e400", "true", '"""', "2020-01-01", "\ud800", "9" * 40]
)  # fmt: skip


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(at=st.integers(0, len(FOUR)), cut=st.integers(0, 40), put=st.lists(WORDS, max_size=3))
def test_a_mutilated_file_gives_sentences_and_nothing_else(
    at: int, cut: int, put: list[str]
) -> None:
    text = FOUR[:at] + "".join(put) + FOUR[at + cut :]
    checked = check(text)
    assert (checked.engine is None) == bool(checked.faults)
    for fault in (*checked.faults, *checked.warnings):
        assert fault.sentence()


VALUES = st.recursive(
    st.sampled_from(
        [
            '""',
            '"x"',
            '"1 mm"',
            '"-5 in"',
            '"90 deg"',
            "0",
            "-1",
            "3",
            "1.5",
            "nan",
            "inf",
            "true",
            "2020-01-01",
            "12:00:00",
            '"h6"',
            '"simple"',
            '"rod_journal"',
            "1" + "0" * 50,
        ]
    ),
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]")
        | st.lists(inner, max_size=2).map(
            lambda items: "{" + ", ".join(f"k{n} = {item}" for n, item in enumerate(items)) + "}"
        )
    ),
    max_leaves=5,
)
LINES = FOUR.split("\n")
ASSIGNED = [n for n, line in enumerate(LINES) if re.match(r"[a-z_]+ = [^\[]*$|.*\]$", line)
            and " = " in line]  # fmt: skip


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(changes=st.lists(st.tuples(st.sampled_from(ASSIGNED), VALUES), min_size=1, max_size=4))
def test_any_value_anywhere_gives_sentences_and_nothing_else(
    changes: list[tuple[int, str]],
) -> None:
    lines = list(LINES)
    for line, value in changes:
        lines[line] = f"{lines[line].split(' = ')[0]} = {value}"
    checked = check("\n".join(lines))
    assert (checked.engine is None) == bool(checked.faults)
