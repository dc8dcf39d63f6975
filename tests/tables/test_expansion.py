"""Coefficients of expansion."""

from __future__ import annotations

import pytest

from oilwedge.errors import UnknownNameError
from oilwedge.sources import COMMON_PRACTICE, SOURCES
from oilwedge.tables.expansion import expansion_coefficient, materials


# Callister, Materials Science and Engineering, table B.6 (READ); steel: GUM H.1 (READ)
@pytest.mark.parametrize(
    ("material", "value", "source"),
    [
        ("steel", 11.5e-6, "JCGM100"),
        ("steel 1020", 11.7e-6, "CALLISTER"),
        ("steel 1040", 11.3e-6, "CALLISTER"),
        ("steel 4140", 12.3e-6, "CALLISTER"),
        ("steel 4340", 12.3e-6, "CALLISTER"),
        ("grey iron", 11.4e-6, "CALLISTER"),
        ("aluminium 356", 21.5e-6, "CALLISTER"),
        ("aluminium 6061", 23.6e-6, "CALLISTER"),
    ],
)
def test_coefficients_are_those_of_the_book(material: str, value: float, source: str) -> None:
    coefficient = expansion_coefficient(material)
    assert coefficient.value_per_k == pytest.approx(value)
    assert coefficient.source == source


def test_the_gauge_steel_of_the_guide_is_known_to_two() -> None:
    assert expansion_coefficient("steel").half_width_per_k == pytest.approx(2e-6)


@pytest.mark.parametrize("material", materials())
def test_every_coefficient_is_of_metal_and_says_where_it_came_from(material: str) -> None:
    coefficient = expansion_coefficient(material)
    assert 10e-6 < coefficient.value_per_k < 25e-6
    assert 0.5e-6 <= coefficient.half_width_per_k <= 2e-6
    assert coefficient.source in SOURCES or coefficient.source == COMMON_PRACTICE
    assert coefficient.note


@pytest.mark.parametrize("name", ["Aluminum", "CAST-ALUMINIUM", "cast_aluminum"])
def test_spelling_is_forgiven(name: str) -> None:
    assert expansion_coefficient(name).material == "aluminium"


def test_an_unknown_material_asks_back() -> None:
    with pytest.raises(UnknownNameError) as caught:
        expansion_coefficient("gray irn")
    text = str(caught.value)
    assert text.startswith("Given 'gray irn'; a material is one of steel, forged steel,")
    assert text.endswith("did you mean 'gray iron'?")
    with pytest.raises(UnknownNameError, match="or give its coefficient of expansion itself"):
        expansion_coefficient("oak")
