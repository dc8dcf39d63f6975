"""An answer about an oil on its faces."""

from __future__ import annotations

import json
from xml.etree import ElementTree

import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.report.terminal import render_terminal
from oilwedge.usecases.oil_document import MAKER_FIRST, oil_chart, oil_document, oil_json
from oilwedge.usecases.oil_query import OilAnswer, ask_oil

SHEET = ("40C=68 mm2/s", "100C=11.5 mm2/s", "15C=860 kg/m3", "HTHS=3.1 mPa.s")


def ask(grade: str = "", *sheet: str, at: tuple[str, ...] = ()) -> OilAnswer:
    return ask_oil(grade=grade, data_sheet=sheet, at=at, shear_rate_per_s=1e6)


def test_the_limits_of_the_grade_stand_over_the_table() -> None:
    text = render_terminal(oil_document(ask("5W-30")))
    assert "Oil SAE 5W-30" in text
    assert "6600 mPa s at most" in text
    assert "9.3 to under 12.5 mm²/s" in text
    assert "2.9 mPa s or more" in text
    assert "9.30 to 12.5" in text
    assert MAKER_FIRST in text
    assert all(len(line) <= 80 for line in text.splitlines())


@pytest.mark.parametrize("name", ["20W-50", "ISO VG 460", "0W-8", "60"])
def test_no_band_is_too_wide_for_the_table(name: str) -> None:
    text = render_terminal(oil_document(ask(name)))
    assert all(len(line) <= 80 for line in text.splitlines())
    assert "…" not in text


def test_extrapolated_rows_carry_a_star() -> None:
    text = render_terminal(oil_document(ask("", *SHEET, at=("60C", "120C"))))
    assert "120*" in text
    assert "60*" not in text
    assert "Rows with * are extrapolated" in text
    assert "viscosity index" in text


def test_a_straight_iso_oil_shows_its_limits() -> None:
    assert "41.4 to 50.6 mm²/s" in render_terminal(oil_document(ask("ISO VG 46")))


def test_the_json_has_a_unit_in_each_name() -> None:
    found = json.loads(json.dumps(oil_json(ask("", *SHEET, at=("100C",))), allow_nan=False))
    assert found["measured"] is True
    (row,) = found["rows"]
    assert row["temperature_c"] == 100.0
    assert row["kinematic_mm2_s"]["low"] == pytest.approx(11.5)
    assert row["dynamic_mpa_s"]["high"] == pytest.approx(11.5 * 0.812485)
    assert row["dynamic_fast_shear_mpa_s"]["low"] < row["dynamic_mpa_s"]["low"]
    assert row["density_kg_m3"]["low"] == pytest.approx(812.485)
    assert row["extrapolated"] is False


def test_the_chart_marks_what_was_measured() -> None:
    drawn = ElementTree.fromstring(oil_chart(ask("", *SHEET)))
    assert len(drawn.findall(".//{*}circle")) == 2
    band = ElementTree.fromstring(oil_chart(ask("5W-30")))
    assert not band.findall(".//{*}circle")
    assert "typical band" in (band.findtext("{*}title") or "")


def test_too_thin_for_the_chart_is_told() -> None:
    thin = ("40C=0.9 mm2/s", "100C=0.5 mm2/s", "15C=800 kg/m3")
    with pytest.raises(OutOfRangeError, match="ask without the chart"):
        oil_chart(ask("", *thin, at=("60C",)))
