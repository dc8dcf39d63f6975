"""A table of bearing loads."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from oilwedge.errors import InputError, ReadingsError
from oilwedge.usecases.load_table import read_load_table

HEAD = "angle [deg],fx [N],fy [N]"


def table(
    path: Path, *, head: str = HEAD, angles: range = range(0, 360, 10), more: str = ""
) -> Path:
    rows = [f"{angle},{1000 + angle % 360},{-500}{more}" for angle in angles]
    file = path / "loads.csv"
    file.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return file


def test_units_stand_in_the_brackets(tmp_path: Path) -> None:
    plain = read_load_table(path=table(tmp_path), speed_rad_s=100.0)
    kilo = read_load_table(
        path=table(tmp_path, head="Angle [°],FX [kN],fy [lbf]"), speed_rad_s=100.0
    )
    np.testing.assert_allclose(kilo.force_x_n, 1000.0 * plain.force_x_n)
    np.testing.assert_allclose(kilo.force_y_n, 4.4482216152605 * plain.force_y_n)
    assert plain.angle_rad[-1] == pytest.approx(2.0 * math.pi)
    assert (plain.journal_speed_rad_s == 100.0).all()


def test_journal_may_have_its_own_speed(tmp_path: Path) -> None:
    history = read_load_table(
        path=table(tmp_path, head=f"{HEAD},journal_speed [rpm]", more=",600"), speed_rad_s=100.0
    )
    np.testing.assert_allclose(history.journal_speed_rad_s, 20.0 * math.pi)
    assert history.turning_speed_rad_s == 100.0


def test_semicolons_with_decimal_commas_are_read(tmp_path: Path) -> None:
    file = tmp_path / "loads.csv"
    rows = [f"{angle},0;12,5;-3" for angle in range(0, 361, 15)]
    text = "\r\n".join(["angle [deg];fx [N];fy [N]", *rows])
    file.write_text(text, encoding="utf-8-sig")
    history = read_load_table(path=file, speed_rad_s=1.0)
    assert history.force_x_n[3] == 12.5


@pytest.mark.parametrize(
    ("head", "more", "words"),
    [
        ("angle [deg],fx [N]", "", "column fy is missing"),
        ("angle,fx [N],fy [N]", "", "unit is missing"),
        ("angle [deg],fx [mm],fy [N]", "", "mm"),
        ("angle [deg],fx [N],fz [N]", "", "not known"),
        ("angle [deg],fx [N],fx [N]", "", "there twice"),
        (f"{HEAD},journal_speed [rpm]", "", "row 2, column journal_speed: a value is missing"),
        (f"{HEAD},journal_speed [rpm]", ",fast", "row 2"),
    ],
)
def test_bad_table_is_one_sentence(tmp_path: Path, head: str, more: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read_load_table(path=table(tmp_path, head=head, more=more), speed_rad_s=100.0)
    assert words in str(caught.value)
    assert "loads.csv" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_gap_names_its_angles(tmp_path: Path) -> None:
    file = table(tmp_path)
    rows = file.read_text(encoding="utf-8").splitlines()
    file.write_text("\n".join(rows[:5] + rows[8:]), encoding="utf-8")
    with pytest.raises(ReadingsError, match="gap from 30 deg to 70 deg"):
        read_load_table(path=file, speed_rad_s=100.0)


@pytest.mark.parametrize("content", [b"", b"\0\0\0", b"%PDF-1.7 \xff\xfe"])
def test_what_is_no_table_is_refused(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "loads.csv"
    file.write_bytes(content)
    with pytest.raises(ReadingsError):
        read_load_table(path=file, speed_rad_s=100.0)
