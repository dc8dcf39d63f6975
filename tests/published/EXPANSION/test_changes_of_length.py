"""Changes of length by hand from table B.6: L·α·(t − 20 °C)."""

from __future__ import annotations

import pytest

from oilwedge.tables.expansion import expansion_coefficient

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("material", "length_mm", "warmer_k", "change_um"),
    [
        ("steel", 60.0, 15.0, 10.4),  # steel journal at 35 °C, α 11.5
        ("aluminium", 65.0, 15.0, 21.0),  # aluminium housing at 35 °C, α 21.5
    ],
)
def test_a_part_at_35_degrees(
    material: str, length_mm: float, warmer_k: float, change_um: float
) -> None:
    alpha = expansion_coefficient(material).value_per_k
    assert length_mm * 1e3 * alpha * warmer_k == pytest.approx(change_um, abs=0.06)


def test_a_warm_aluminium_housing_round_a_steel_journal() -> None:
    # both 60 K warmer, the shell ignored: the clearance grows by 42.5 µm (21.5 and 11.5)
    housing = 65.0e3 * expansion_coefficient("aluminium").value_per_k * 60.0
    journal = 60.0e3 * expansion_coefficient("steel").value_per_k * 60.0
    assert housing - journal == pytest.approx(42.5, abs=0.1)
