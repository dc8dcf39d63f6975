"""Which sizes an instrument's range holds."""

import pytest

from oilwedge.metrology.instrument import Instrument, InstrumentKind


def micrometer(low_m: float | None, high_m: float | None) -> Instrument:
    return Instrument(
        key="m",
        title="micrometer",
        kind=InstrumentKind.MICROMETER,
        resolution_m=1e-6,
        permissible_error_m=3e-6,
        range_low_m=low_m,
        range_high_m=high_m,
    )


@pytest.mark.parametrize(
    ("size_m", "held"),
    [(0.0249, False), (0.025, True), (0.04, True), (0.05, True), (0.0501, False), (None, True)],
)
def test_a_range_holds_its_ends_and_whatever_has_no_size(size_m: float | None, held: bool) -> None:
    assert micrometer(0.025, 0.05).spans(size_m) is held


def test_an_open_side_holds_everything_on_it() -> None:
    assert micrometer(None, 0.05).spans(0.001)
    assert not micrometer(None, 0.05).spans(0.06)
    assert micrometer(0.025, None).spans(1.0)
    assert not micrometer(0.025, None).spans(0.001)


def test_slack_lets_a_size_lie_a_little_over_either_end() -> None:
    assert micrometer(0.025, 0.05).spans(0.024, slack_m=0.002)
    assert micrometer(0.025, 0.05).spans(0.051, slack_m=0.002)
    assert not micrometer(0.025, 0.05).spans(0.053, slack_m=0.002)
    assert not micrometer(0.025, 0.05).spans(0.022, slack_m=0.002)
