"""What cancels between readings, and what does not; GTC as the independent reference."""

from __future__ import annotations

import math
from dataclasses import replace

import GTC
import pytest

from oilwedge.errors import UnknownNameError
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument, InstrumentKind
from oilwedge.metrology.reading import Reading
from oilwedge.metrology.reading_error import Measurand
from oilwedge.metrology.size import SizeEstimate, estimate_size
from oilwedge.metrology.thermal import Coefficient
from oilwedge.uncertainty.quantity import Quantity, SourceKind

STEEL = Coefficient(key="steel", per_k=11.5e-6)
MICROMETER = Instrument(
    key="mic 1",
    title="micrometer 1",
    kind=InstrumentKind.MICROMETER,
    resolution_m=1e-6,
    permissible_error_m=4e-6,
    repeatability_m=1e-6,
)
OTHER = replace(MICROMETER, key="mic 2", title="micrometer 2")
GAUGE = Instrument(
    key="gauge",
    title="bore gauge",
    kind=InstrumentKind.BORE_GAUGE,
    resolution_m=1e-6,
    permissible_error_m=2e-6,
    repeatability_m=1e-6,
    set_in="mic 1",
    setting_m=1.5e-6,
)
SHOP = {i.key: i for i in (MICROMETER, OTHER, GAUGE)}


def readings(
    values_um: list[float], instrument: str, *, feature: str, fittings: tuple[int, ...] = (1,)
) -> list[Reading]:
    return [
        Reading(
            id=f"{feature}-{instrument}-{i}",
            feature=feature,
            number=1,
            value_m=value * 1e-6,
            instrument=instrument,
            part_temperature_c=20.0,
            instrument_temperature_c=20.0,
            fitting=fittings[i % len(fittings)],
        )
        for i, value in enumerate(values_um)
    ]


def size(
    label: str, given: list[Reading], *, measurand: Measurand = Measurand.SIZE
) -> SizeEstimate:
    return estimate_size(
        label=label,
        readings=given,
        instruments=SHOP,
        places={},
        directions={},
        material_expansion=STEEL,
        measurand=measurand,
    )


def mean(label: str, given: list[Reading], *, measurand: Measurand = Measurand.SIZE) -> Quantity:
    found = size(label, given, measurand=measurand).mean
    assert found is not None
    return found


def kinds(quantity: Quantity) -> set[SourceKind]:
    return {source.kind for source, c in quantity.contributions.items() if abs(c) > 1e-15}


def bore_less_journal(micrometer: str) -> Quantity:
    bore = mean("bore", readings([48_040, 48_041], "gauge", feature="bore"))
    journal = mean("journal", readings([48_000, 48_001], micrometer, feature="journal"))
    return bore - journal


def test_a_gauge_set_in_the_micrometer_of_the_journal_shares_its_error() -> None:
    keys = {source.key for source in bore_less_journal("mic 1").contributions}
    assert "instrument:mic 1:error" not in keys
    assert "instrument:gauge:error" in keys
    assert "setting:gauge:1" in keys


def test_two_separate_micrometers_do_not_cancel() -> None:
    keys = {source.key for source in bore_less_journal("mic 2").contributions}
    assert {"instrument:mic 1:error", "instrument:mic 2:error"} <= keys
    shared, apart = bore_less_journal("mic 1"), bore_less_journal("mic 2")
    assert apart.variance - shared.variance == pytest.approx(2 * (4e-6) ** 2 / 3)


@pytest.mark.parametrize("micrometer", ["mic 1", "mic 2"])
def test_gtc_gives_the_same_uncertainty_of_the_clearance(micrometer: str) -> None:
    error = {key: GTC.ureal(0.0, 4e-6 / math.sqrt(3)) for key in ("mic 1", "mic 2")}
    setting = GTC.ureal(0.0, 1.5e-6)
    gauge_error = GTC.ureal(0.0, 2e-6 / math.sqrt(3))

    def one(value_m: float) -> GTC.ureal:
        return GTC.ureal(value_m, 1e-6) + GTC.ureal(0.0, 1e-6 / math.sqrt(12))

    bore = (one(48.040e-3) + one(48.041e-3)) / 2 + gauge_error + setting + error["mic 1"]
    journal = (one(48.000e-3) + one(48.001e-3)) / 2 + error[micrometer]
    found = bore_less_journal(micrometer)
    # The temperatures are known to half a kelvin and equal: nothing of them is left in steel.
    assert found.value == pytest.approx(GTC.value(bore - journal))
    assert found.standard_uncertainty == pytest.approx(GTC.uncertainty(bore - journal), rel=1e-6)


def test_a_gauge_zeroed_at_the_journal_does_not_carry_the_micrometers_scale() -> None:
    given = readings([40], "gauge", feature="gap")
    keys = {s.key for s in mean("gap", given, measurand=Measurand.DIFFERENCE).contributions}
    assert "instrument:mic 1:error" not in keys
    assert "instrument:mic 1:error" in {s.key for s in mean("gap", given).contributions}


def test_two_readings_of_one_instrument_differ_by_scatter_and_resolution_only() -> None:
    one = mean("a", readings([48_000], "mic 1", feature="a"))
    two = mean("b", readings([48_010], "mic 1", feature="b"))
    assert kinds(one - two) == {SourceKind.REPEATABILITY, SourceKind.RESOLUTION}


def test_repeats_shrink_the_set_up_only_after_a_refit() -> None:
    dirty = {**SHOP, "mic 1": replace(MICROMETER, setup_m=2e-6)}

    def setup_variance(fittings: tuple[int, ...]) -> float:
        found = estimate_size(
            label="journal",
            readings=readings([48_000] * 4, "mic 1", feature="journal", fittings=fittings),
            instruments=dirty,
            places={},
            directions={},
            material_expansion=STEEL,
        ).mean
        assert found is not None
        parts = found.contributions.items()
        return sum(c * c for s, c in parts if s.kind is SourceKind.SETUP)

    assert setup_variance((1,)) == pytest.approx((2e-6) ** 2)
    assert setup_variance((1, 2)) == pytest.approx((2e-6) ** 2 / 2)
    assert setup_variance((1, 2, 3, 4)) == pytest.approx((2e-6) ** 2 / 4)


def test_settings_of_a_gauge_are_errors_of_their_own() -> None:
    first, second = readings([48_040, 48_040], "gauge", feature="bore")
    quantity = mean("bore", [first, replace(second, setting="2")])
    settings = [c for s, c in quantity.contributions.items() if s.kind is SourceKind.SETTING]
    assert settings == pytest.approx([0.75e-6, 0.75e-6])


def test_a_reading_without_an_instrument_uses_the_general_one() -> None:
    given = [replace(r, instrument="") for r in readings([48_000], "mic 1", feature="a")]
    assert size("a", given).instruments == ("micrometer",)


def test_an_unknown_instrument_is_asked_back() -> None:
    with pytest.raises(UnknownNameError, match="did you mean 'mic 1'"):
        size("a", readings([48_000], "mick 1", feature="a"))


def test_a_gauge_set_in_something_unknown_is_asked_back() -> None:
    lost = {**SHOP, "gauge": replace(GAUGE, set_in="ring 50")}
    with pytest.raises(UnknownNameError, match="bore gauge is set in an instrument of the shop"):
        estimate_size(
            label="bore",
            readings=readings([48_040], "gauge", feature="bore"),
            instruments=lost,
            places={},
            directions={},
            material_expansion=STEEL,
        )


def test_every_general_instrument_is_found_under_the_words_for_its_kind() -> None:
    assert set(GENERIC_INSTRUMENTS) == {kind.value for kind in InstrumentKind}
    for key, instrument in GENERIC_INSTRUMENTS.items():
        assert instrument.key == key
        assert not instrument.set_in or instrument.set_in in GENERIC_INSTRUMENTS


FELT = {**SHOP, "mic 1": replace(MICROMETER, setting_m=0.5e-6, setup_m=2e-6)}


def felt(label: str, instrument: str, *, measurand: Measurand = Measurand.SIZE) -> Quantity:
    found = estimate_size(
        label=label,
        readings=readings([48_040], instrument, feature=label),
        instruments=FELT,
        places={},
        directions={},
        material_expansion=STEEL,
        measurand=measurand,
    ).mean
    assert found is not None
    return found


def test_a_gauge_takes_over_the_zero_of_its_micrometer_which_cancels_in_the_clearance() -> None:
    bore, journal = felt("bore", "gauge"), felt("journal", "mic 1")
    zero = {s.key: c for s, c in bore.contributions.items()}["setting:mic 1:1"]
    assert zero == pytest.approx(0.5e-6)
    assert "setting:mic 1:1" not in {s.key for s in (bore - journal).contributions}


def test_zeroing_at_the_journal_carries_how_the_micrometer_was_felt_and_seated_on_it() -> None:
    """COMPUTED by hand: √(1.5² + 1² + 2²) µm for setting, repeatability and seating."""
    gap = felt("gap", "gauge", measurand=Measurand.DIFFERENCE)
    parts = {s.key: c for s, c in gap.contributions.items()}
    assert parts["zeroing:gap:1"] == pytest.approx(math.sqrt(1.5**2 + 1 + 4) * 1e-6)
    assert not any(key.startswith(("setting:", "instrument:mic")) for key in parts)


def test_each_journal_is_zeroed_at_anew() -> None:
    one = felt("gap 1", "gauge", measurand=Measurand.DIFFERENCE)
    two = felt("gap 2", "gauge", measurand=Measurand.DIFFERENCE)
    assert {"zeroing:gap 1:1", "zeroing:gap 2:1"} <= {s.key for s in (one - two).contributions}
