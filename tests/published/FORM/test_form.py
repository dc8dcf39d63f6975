"""What noise alone does to a raw range, and what is left of it after the fit."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

from oilwedge.metrology.form import fit_form, out_of_round, taper
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]
D2 = dict(zip(VALUES["count"], VALUES["d2"], strict=True))
S_UM = 2.0


@pytest.mark.parametrize("angles", [(0.0, 90.0), (0.0, 45.0, 90.0, 135.0)])
def test_a_perfect_journal_shows_the_published_raw_range_but_hardly_any_form(
    angles: tuple[float, ...],
) -> None:
    positions = [z for z in (-1.0, 1.0) for _ in angles]
    directions = [*angles, *angles]
    n = len(positions)
    sources = [
        ErrorSource(key=f"repeat:{i}", kind=SourceKind.REPEATABILITY, words="") for i in range(n)
    ]
    generator = np.random.default_rng(8)
    ranges, tapers, ovals = [], [], []
    for readings in 48_000.0 + S_UM * generator.standard_normal((1500, n)):
        fit = fit_form(
            positions=positions,
            angles_deg=directions,
            values=[
                Quantity(value, {source: S_UM})
                for value, source in zip(readings.tolist(), sources, strict=True)
            ],
        )
        found_taper, found_oval = taper(fit=fit, key="k"), out_of_round(fit=fit, key="k")
        assert found_taper is not None
        assert found_oval is not None
        ranges.append(float(np.ptp(readings)))
        tapers.append(found_taper.value)
        ovals.append(found_oval.value)
    # 5.7 µm for 8 readings; the mean of 1,500 ranges is uncertain by 0.04 µm.
    assert np.mean(ranges) == pytest.approx(D2[n] * S_UM, abs=0.15)
    # With the bias taken out, less than half a standard deviation is left on average (a size
    # that is never negative cannot average 0), a fifth of the raw range.
    assert np.mean(tapers) < 0.5 * S_UM
    assert np.mean(ovals) < 0.6 * S_UM
    assert max(np.mean(tapers), np.mean(ovals)) < 0.2 * D2[n] * S_UM
