from pathlib import Path
from typing import Any

import pytest

from oilwedge.errors import EngineFileError
from oilwedge.usecases.engine_revisions import Comparison, Part, compare_texts
from oilwedge.usecases.length_face import LengthFace

MM = LengthFace(unit="mm")


def compared(text: str, *changes: tuple[str, str], **more: Any) -> Comparison:
    after = text
    for old, new in changes:
        assert old in after
        after = after.replace(old, new, 1)
    return compare_texts(text, after, face=MM, **more)


def sentences(found: Comparison) -> list[str]:
    return [one.sentence for one in found.differences]


def test_the_same_text_is_the_same_engine(bench_engine_text: str) -> None:
    found = compared(bench_engine_text)
    assert found.same
    assert not found.only_words


def test_blanks_and_comments_change_the_digest_and_nothing_else(bench_engine_text: str) -> None:
    found = compare_texts(bench_engine_text, f"# a comment\n{bench_engine_text}", face=MM)
    assert found.only_words


@pytest.mark.parametrize(
    ("old", "new", "part", "sentence"),
    [
        (
            'build = ["0.021 mm", "0.049 mm"]',
            'build = ["0.021 mm", "0.055 mm"]',
            Part.LIMITS,
            "rod bearing, high limit: 0.049 mm → 0.055 mm",
        ),
        (
            'service = "0.060 mm"\n',
            "",
            Part.LIMITS,
            "rod bearing, service limit: 0.060 mm → not given",
        ),
        (
            'build = ["0.044 mm", "0.072 mm"]',
            'build = ["0.044 mm", "0.070 mm"]',
            Part.LIMITS,
            "main bearing 3, high limit: 0.072 mm → 0.070 mm",
        ),
        (
            'nominal = "47.980 mm"',
            'nominal = "47.9805 mm"',
            Part.SIZES,
            "rod journal, nominal size: 47.980 mm → 47.9805 mm",
        ),
        (
            "firing_order = [1, 3, 4, 2]",
            "firing_order = [1, 2, 4, 3]",
            Part.LAYOUT,
            "layout, firing order: 1, 3, 4, 2 → 1, 2, 4, 3",
        ),
        (
            'from = "Invented manual, page 12"',
            'from = "Invented manual, page 13"',
            Part.LIMITS,
            "rod bearing, limits from: Invented manual, page 12 → Invented manual, page 13",
        ),
        (
            'name = "Bench four (invented)"',
            'name = "Bench four, later (invented)"',
            Part.ENGINE,
            "name: Bench four (invented) → Bench four, later (invented)",
        ),
    ],
)
def test_a_difference_is_named_with_old_and_new(
    bench_engine_text: str, old: str, new: str, part: Part, sentence: str
) -> None:
    found = compared(bench_engine_text, (old, new))
    assert sentence in sentences(found)
    assert {one.part for one in found.differences if one.sentence == sentence} == {part}


def test_layout_comes_before_sizes_and_sizes_before_limits(bench_engine_text: str) -> None:
    found = compared(
        bench_engine_text,
        ('build = ["0.021 mm", "0.049 mm"]', 'build = ["0.021 mm", "0.055 mm"]'),
        ("firing_order = [1, 3, 4, 2]", "firing_order = [1, 2, 4, 3]"),
        ('length = "20 mm"', 'length = "21 mm"'),
    )
    assert [one.part for one in found.differences] == [Part.LAYOUT, Part.SIZES, Part.LIMITS]


def test_what_a_supply_says_is_compared_by_its_text(bench_engine_text: str) -> None:
    found = compare_texts(
        bench_engine_text, f'{bench_engine_text}\n[oil]\ngrade = "10W-40"\n', face=MM
    )
    assert sentences(found) == ["oil, grade: not given → 10W-40"]


def test_a_wider_window_changes_the_verdict_on_the_same_record(
    bench: Any, bench_engine_text: str
) -> None:
    bench.size("rod_journal", 0.0)
    bench.size("rod_shell_bore", 0.0)
    bench.is_now("rod_journals", "new")
    bench.journal(2, 47.965)
    bench.bore(2, 48.035)  # 0.070 mm
    found = compared(
        bench_engine_text,
        ('build = ["0.021 mm", "0.049 mm"]', 'build = ["0.021 mm", "0.090 mm"]'),
        ('service = "0.060 mm"', 'service = "0.100 mm"'),
        shop=bench.shop,
        entries=bench.entries,
    )
    changed = {(one.fit, one.number): one for one in found.verdicts}
    one = changed["rod_bearing", 2]
    assert one.before is not None
    assert one.after is not None
    assert one.before.words == "too loose"
    assert one.after.words.startswith("right")


def test_readings_of_a_feature_that_is_gone_are_named_and_do_not_judge(
    bench: Any, bench_engine_text: str
) -> None:
    bench.read("piston_deck_height", 1, 0.1)
    found = compared(
        bench_engine_text,
        ("[features.piston_deck_height]\n", ""),
        shop=bench.shop,
        entries=bench.entries,
    )
    assert found.lost == ("piston height 1",)


def test_a_faulty_file_is_an_error_with_its_name(bench_engine_text: str) -> None:
    with pytest.raises(EngineFileError, match="later"):
        compare_texts(bench_engine_text, "format = 1", face=MM, names=("now", "later.toml"))


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        (
            'rod_big_end = "366 g"',
            'rod_big_end = "365 g"',
            "crank train, rod big end: 0.366 kg → 0.365 kg",
        ),
        (
            'throw_unbalance = "18 kg',
            'throw_unbalance = "19 kg',
            "crank train, throw unbalance: 0.018 kg m → 0.019 kg m",
        ),
        (
            '{ throw = 3, unbalance = "15 kg',
            '{ throw = 3, unbalance = "16 kg',
            "counterweight, 5, unbalance: 0.015 kg m → 0.016 kg m",
        ),
        ('stroke = "75.5 mm"', 'stroke = "75.6 mm"', "crank train, stroke: 75.500 mm → 75.600 mm"),
        ('width = "18.5 mm"', 'width = "18 mm"', "bearings, rod, width: 18.500 mm → 18.000 mm"),
        (
            'journal_roughness = "0.12 µm"',
            'journal_roughness = "0.13 µm"',
            "bearings, rod, journal roughness: 0.12 µm → 0.13 µm",
        ),
        (
            'journal_over_oil = "15 K"',
            'journal_over_oil = "16 K"',
            "bearings, rod, journal temperature over oil: 15 K → 16 K",
        ),
        ('groove = "none"', 'groove = "hole"', "bearings, rod, groove: none → hole"),
        (
            'speed = "3800 rpm"',
            'speed = "3900 rpm"',
            "condition, full load, speed: 3800 1/min → 3900 1/min",
        ),
        (
            'hths_150c = "3.1 mPa s"',
            'hths_150c = "3.2 mPa s"',
            "oil, data sheet, high shear 150c: 0.0031 Pa s → 0.0032 Pa s",
        ),
        (
            'density_15c = "852 kg/m3"',
            'density_15c = "853 kg/m3"',
            "oil, data sheet, density 15c: 852 kg/m³ → 853 kg/m³",
        ),
    ],
)
def test_how_an_engine_runs_is_told_where_it_differs(old: str, new: str, sentence: str) -> None:
    demo = Path(__file__).parents[2] / "src" / "oilwedge" / "demo" / "four.toml"
    found = compared(demo.read_text(encoding="utf-8"), (old, new))
    assert sentences(found) == [sentence]
    running = Part.SUPPLIES if sentence.startswith("oil") else Part.RUNNING
    assert found.differences[0].part is running


def test_a_speed_of_the_flat_duty_is_told_once(bench_engine_text: str) -> None:
    table = bench_engine_text.partition("[duty]")[0] + '[duty]\nspeed = "6000 rpm"\n'
    assert sentences(compared(table, ("6000", "6100"))) == ["duty, speed: 6000 1/min → 6100 1/min"]
