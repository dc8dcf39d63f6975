"""What is said about a shop file, good or bad."""

import datetime
import math
from importlib import resources

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from oilwedge.errors import ShopFileError
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, InstrumentKind
from oilwedge.shop.file import check_shop, decode_shop, read_shop
from oilwedge.shop.model import DEFAULT_SHOP

DEMO = resources.files("oilwedge").joinpath("demo", "shop.toml").read_text(encoding="utf-8")
MIC = """\
[instruments.mic]
kind = "micrometer"
resolution = "0.001 mm"
permissible_error = "0.002 mm"
"""
STRIP = """\
[strips.narrow]
range = ["0.025 mm", "0.076 mm"]
"""


def only_fault(text: str) -> str:
    faults = [fault.sentence() for fault in check_shop(text, file="s.toml").faults]
    assert len(faults) == 1, faults
    return faults[0]


def test_the_demo_shop_has_neither_faults_nor_warnings() -> None:
    checked = check_shop(DEMO, file="shop.toml")
    assert (checked.faults, checked.warnings) == ((), ())


def test_the_demo_shop_holds_what_is_written() -> None:
    shop = read_shop(DEMO, file="shop.toml")
    mic = shop.instruments["mic_25_50"]
    assert (mic.range_low_m, mic.range_high_m) == (0.025, 0.05)
    assert mic.permissible_error_m == 2e-6
    assert mic.calibration_due == datetime.date(2031, 4, 30)
    assert shop.instruments["bore_small"].set_in == "mic_25_50"
    assert shop.instruments["inch_mic_2_3"].unit == "in"
    assert shop.instruments["inch_mic_2_3"].resolution_m == pytest.approx(2.54e-6, rel=1e-12)
    assert {one.kind for one in shop.instruments.values()} >= {
        InstrumentKind.MICROMETER,
        InstrumentKind.BALL_MICROMETER,
        InstrumentKind.BORE_GAUGE,
        InstrumentKind.DIAL_GAUGE,
        InstrumentKind.FEELER,
        InstrumentKind.DEPTH_GAUGE,
    }
    assert "bore_small" in {one.key for one in shop.of_kind(InstrumentKind.BORE_GAUGE)}
    assert not shop.of_kind(InstrumentKind.RULER)
    assert shop.strips["narrow"].low_m == 2.5e-5
    assert [bar.clearance_m for bar in shop.strips["narrow"].bars] == [2.5e-5, 3.8e-5, 5e-5, 7.5e-5]


def test_the_demo_strips_keep_their_volume() -> None:
    """Width times clearance is the filament's section, pi/4 d² (volume conservation)."""
    for strip in read_shop(DEMO, file="shop.toml").strips.values():
        assert strip.filament_diameter_m is not None
        section = math.pi / 4 * strip.filament_diameter_m**2
        for bar in strip.bars:
            assert bar.width_m is not None
            assert bar.width_m * bar.clearance_m == pytest.approx(section, rel=0.01)


def test_what_is_left_out_is_common_practice_and_said() -> None:
    checked = check_shop('[instruments.mic]\nkind = "micrometer"\n', file="s.toml")
    assert checked.shop is not None
    usual = GENERIC_INSTRUMENTS["micrometer"]
    assert checked.shop.instruments["mic"].permissible_error_m == usual.permissible_error_m
    sentences = [warning.sentence() for warning in checked.warnings]
    assert len(sentences) == 2
    assert "no resolution" in sentences[0]
    assert "3 µm is taken for a micrometer (common practice, no source)" in sentences[1]


def test_a_bore_gauge_that_is_set_in_nothing_is_warned_of() -> None:
    text = MIC.replace('"micrometer"', '"bore gauge"')
    assert "set_in" in check_shop(text, file="s.toml").warnings[0].sentence()


def test_the_default_shop_has_one_of_each_kind() -> None:
    assert set(DEFAULT_SHOP.instruments) == {kind.value for kind in InstrumentKind}


@pytest.mark.parametrize(
    ("text", "line", "parts"),
    [
        ("[instrments]\n", 1, ("instrments", "did you mean 'instruments'?")),
        (MIC + 'resolutoin = "1 um"\n', 5, ("did you mean 'resolution'?",)),
        (MIC.replace('kind = "micrometer"', ""), 1, ("kind", "missing")),
        (MIC.replace('"micrometer"', '"micrometre"'), 2, ("micrometre", "'bore gauge'")),
        (MIC.replace("0.001 mm", "0.001"), 3, ("unit is missing",)),
        (MIC.replace("0.001 mm", "-0.001 mm"), 3, ("from 0 to 1 mm",)),
        (MIC.replace("0.002 mm", "2 in"), 4, ("2 in", "from 0 to 1 mm")),
        (MIC + 'range = ["50 mm", "25 mm"]\n', 5, ("50 mm to 25 mm", "swap them")),
        (MIC + 'range = ["50 mm"]\n', 5, ("at least 2",)),
        (MIC + 'set_in = "mik"\n', 5, ("mik", "did you mean 'mic'?")),
        (MIC + 'set_in = "mic"\n', 5, ("cannot be set in itself",)),
        (MIC + 'calibration_due = "soon"\n', 5, ("soon", "2031-04-30")),
        (MIC + 'expansion = "11.5 mm"\n', 5, ("coefficient of expansion",)),
        (MIC + "expansion = 11.5\n", 5, ('"11.5 ppm/K"',)),
        (STRIP.replace("0.025 mm", "0.25 mm"), 2, ("0.25 mm to 0.076 mm", "swap them")),
        (STRIP.replace("0.076 mm", "0.076 in"), None, ()),
        (STRIP.replace("0.076 mm", "0.1 in"), 2, ("between 0 and 2 mm",)),
        ("[strips.narrow]\n", 1, ("range", "missing")),
        (STRIP + 'filament = "0.05 mm"\n', 3, ("thicker than the largest clearance",)),
        (STRIP + 'bars = [{ width = "1 mm" }]\n', 3, ("clearance", "missing")),
        (
            STRIP + 'bars = [{ clearance = "0.03 mm", width = "1 mm" },\n'
            '{ clearance = "0.05 mm", width = "2 mm" }]\n',
            4,
            ("wider bar for a larger clearance",),
        ),
        ("format = 2\n", 1, ("allowed are 1",)),
        ("", None, ("the file is empty",)),
        ("a = \n", 1, ("cannot be read as TOML",)),
    ],
)
def test_a_fault_is_one_sentence_with_its_line(
    text: str, line: int | None, parts: tuple[str, ...]
) -> None:
    if not parts:
        assert check_shop(text, file="s.toml").faults == ()
        return
    sentence = only_fault(text)
    assert sentence.startswith(f"s.toml, line {line}" if line else "s.toml")
    for part in parts:
        assert part in sentence


def test_all_faults_come_in_one_go() -> None:
    text = MIC.replace("0.001 mm", "1") + "x = 1\n" + STRIP + "filament = '0.01 mm'\n"
    with pytest.raises(ShopFileError) as caught:
        read_shop(text, file="s.toml")
    assert [fault.where.line for fault in caught.value.faults] == [3, 5, 8]


def test_instruments_set_in_a_ring_of_each_other_are_refused() -> None:
    text = MIC + 'set_in = "b"\n' + MIC.replace(".mic]", ".b]") + 'set_in = "mic"\n'
    faults = check_shop(text, file="s.toml").faults
    assert len(faults) == 2
    assert "by way of others" in faults[0].sentence()


def test_a_shop_file_in_another_encoding_is_refused() -> None:
    with pytest.raises(ShopFileError, match="UTF-8"):
        decode_shop("[shop]\nname = 'é'".encode("latin-1"), file="s.toml")


VALUES = st.sampled_from(
    ['""', '"x"', '"1 mm"', '"-5 in"', "0", "-1", "1.5", "nan", "true", "2020-01-01", "[]", "{}",
     '["1 mm", "2 mm"]', "[0, 0]", '[{ clearance = 0 }]', "[[1]]", '"mic_25_50"', "12:00:00"]
)  # fmt: skip
LINES = DEMO.split("\n")
ASSIGNED = [n for n, line in enumerate(LINES) if " = " in line and line[0] not in "# {"
            and not line.endswith("[")]  # fmt: skip


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(changes=st.lists(st.tuples(st.sampled_from(ASSIGNED), VALUES), min_size=1, max_size=4))
def test_any_value_anywhere_gives_sentences_and_nothing_else(
    changes: list[tuple[int, str]],
) -> None:
    lines = list(LINES)
    for line, value in changes:
        lines[line] = f"{lines[line].split(' = ')[0]} = {value}"
    checked = check_shop("\n".join(lines), file="s.toml")
    assert (checked.shop is None) == bool(checked.faults)
    for fault in (*checked.faults, *checked.warnings):
        assert fault.sentence()
