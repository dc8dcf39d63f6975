from __future__ import annotations

import pytest

from oilwedge.metrology.likely_cause import Disagreement, likely_causes


@pytest.mark.parametrize("kind", list(Disagreement))
def test_every_disagreement_has_causes_with_checks_that_differ(kind: Disagreement) -> None:
    causes = likely_causes(kind)
    assert len(causes) >= 5
    assert len({c.cause for c in causes}) == len(causes) == len({c.check for c in causes})


def test_a_small_strip_is_first_of_all_a_turned_shaft() -> None:
    assert "turned on the strip" in likely_causes(Disagreement.STRIP_SMALLER)[0].cause


def test_a_large_strip_is_first_of_all_an_open_cap() -> None:
    assert "torque" in likely_causes(Disagreement.STRIP_LARGER)[0].cause


def test_gauges_among_themselves_never_blame_the_strip() -> None:
    for kind in (Disagreement.WALLS_SMALLER, Disagreement.ZEROED_GAUGE_DIFFERS):
        assert not [c for c in likely_causes(kind) if "strip" in c.cause]
