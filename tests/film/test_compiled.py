from __future__ import annotations

import os
from pathlib import Path
from types import SimpleNamespace

import pytest

from oilwedge.film import reynolds
from oilwedge.film.bearing import Groove, Rupture
from oilwedge.film.compiled import is_compiled


def test_a_cache_counts_only_for_its_kernel_and_if_it_is_new_enough(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("reynolds_between_lines", "rupture_on_ring"):
        kernel = SimpleNamespace(__name__=name, stats=SimpleNamespace(cache_path=str(tmp_path)))
        monkeypatch.setattr(reynolds, name, kernel)
    assert not is_compiled(groove=Groove.AXIAL, rupture=Rupture.REYNOLDS)
    index = tmp_path / "reynolds.reynolds_between_lines-86.py311.nbi"
    index.touch()
    assert is_compiled(groove=Groove.AXIAL, rupture=Rupture.REYNOLDS)
    assert not is_compiled(groove=Groove.AXIAL, rupture=Rupture.MASS_CONSERVING)
    assert not is_compiled(groove=Groove.CIRCUMFERENTIAL, rupture=Rupture.REYNOLDS)
    os.utime(index, (0.0, 0.0))
    assert not is_compiled(groove=Groove.AXIAL, rupture=Rupture.REYNOLDS)
