"""The catalogue hangs together: every fit knows its features, parts and words."""

import pytest

from oilwedge.engine.catalogue import NO_SOURCE, catalogue
from oilwedge.engine.model import Fit, Judged, Shape, WayKind
from oilwedge.metrology.instrument import InstrumentKind
from oilwedge.tables.expansion import expansion_coefficient

KINDS = catalogue()
FITS = sorted(KINDS.fits)
FEATURES = sorted(KINDS.features)

# What the catalogue has to carry at least.
WANTED = [
    "rod_bearing",
    "main_bearing",
    "crank_end_float",
    "rod_side_clearance",
    "rod_housing",
    "main_housing",
    "pin_in_piston",
    "pin_in_rod",
    "piston_clearance",
    "top_ring_gap",
    "second_ring_gap",
    "oil_ring_gap",
    "top_ring_side",
    "second_ring_side",
    "piston_height",
    "crank_runout",
    "cam_bearing",
    "intake_valve_guide",
    "exhaust_valve_guide",
    "pump_tip",
    "pump_side",
    "pump_body",
    "rod_journal_size",
    "main_journal_size",
    "rod_journal_taper",
    "rod_journal_out_of_round",
    "main_journal_taper",
    "main_journal_out_of_round",
    "cylinder_taper",
    "cylinder_out_of_round",
    "rod_housing_out_of_round",
    "main_housing_out_of_round",
]


def test_every_wanted_fit_is_there() -> None:
    assert set(WANTED) <= set(KINDS.fits)


@pytest.mark.parametrize("key", FITS)
def test_a_fit_is_made_of_known_features_counted_alike(key: str) -> None:
    fit = KINDS.fits[key]
    pers = {KINDS.features[name].per.value for name in fit.features}
    assert len({per.replace("rod", "cylinder") for per in pers}) == 1
    assert set(fit.parts) <= set(KINDS.parts)
    assert fit.explain.count(". ") == 1
    assert fit.words_small != fit.words_large != fit.words_loose


@pytest.mark.parametrize("key", FEATURES)
def test_a_feature_says_how_it_is_measured(key: str) -> None:
    feature = KINDS.features[key]
    assert feature.how
    assert "\n" not in feature.how
    assert feature.explain
    assert set(feature.parts) <= set(KINDS.parts)
    assert feature.instrument in {kind.value for kind in InstrumentKind}
    assert expansion_coefficient(feature.material)
    assert {place.name for place in feature.quick_places} <= {p.name for p in feature.places}
    names = {direction.name for direction in feature.directions}
    assert {direction.name for direction in feature.quick_directions} <= names
    assert all(-1 <= place.position <= 1 for place in feature.places)


@pytest.mark.parametrize("key", FITS)
def test_a_practice_range_says_that_it_has_no_source(key: str) -> None:
    fit = KINDS.fits[key]
    assert (fit.practice_high_m is None) == (fit.practice_text == "")
    if fit.practice_text:
        assert NO_SOURCE in fit.practice_text


def test_the_usual_bearing_clearance_is_1_to_3_thou() -> None:
    """Common practice, no source: 0.001 to 0.003 in is 0.025 to 0.076 mm."""
    for key in ("rod_bearing", "main_bearing"):
        fit = KINDS.fits[key]
        assert fit.practice_low_m == pytest.approx(0.001 * 0.0254, abs=5e-7)
        assert fit.practice_high_m == pytest.approx(0.003 * 0.0254, abs=5e-7)


def signs(fit: Fit, way: str) -> dict[str, float]:
    found = next(one for one in fit.ways if one.key == way)
    return {term.feature: term.coefficient for term in found.terms}


def test_a_rod_bearing_is_got_at_in_four_ways() -> None:
    fit = KINDS.fits["rod_bearing"]
    kinds = [way.kind for way in fit.ways]
    assert kinds == [WayKind.GAUGED, WayKind.WALLS, WayKind.ZEROED_GAUGE, WayKind.STRIP]
    assert signs(fit, "bore") == {"rod_shell_bore": 1, "rod_journal": -1}
    assert signs(fit, "walls") == {
        "rod_housing_bore": 1,
        "rod_upper_wall": -1,
        "rod_lower_wall": -1,
        "rod_journal": -1,
    }
    assert fit.ways[1].extra_standard_uncertainty_m > 0


def test_undersize_shells_close_the_bore_by_what_the_journal_lost() -> None:
    """0.25 under: journal -0.25, each wall +0.125, bore in the shells -0.25 (arithmetic)."""
    factor = {key: feature.undersize_factor for key, feature in KINDS.features.items()}
    assert factor["rod_journal"] == factor["rod_shell_bore"] == -1
    assert factor["rod_upper_wall"] == factor["main_lower_wall"] == 0.5
    for way in KINDS.fits["rod_bearing"].ways:
        moved = sum(term.coefficient * factor[term.feature] for term in way.terms)
        assert moved == 0


def test_quick_depth_is_what_a_mechanic_has_time_for() -> None:
    journal = KINDS.features["rod_journal"]
    assert (len(journal.quick_places), len(journal.quick_directions)) == (2, 2)
    housing = KINDS.features["main_housing_bore"]
    assert (len(housing.quick_places), len(housing.quick_directions)) == (1, 3)
    bore = KINDS.features["rod_shell_bore"]
    assert (len(bore.quick_places), len(bore.quick_directions)) == (2, 1)


def test_form_is_judged_on_journals_cylinders_and_bare_housings_only() -> None:
    judged = {key for key, feature in KINDS.features.items() if feature.form_judged}
    assert judged == {
        "rod_journal",
        "main_journal",
        "cam_journal",
        "cylinder_bore",
        "rod_housing_bore",
        "main_housing_bore",
    }
    for fit in KINDS.fits.values():
        if fit.judged is not Judged.SIZE:
            assert set(fit.features) <= judged


def test_a_journal_taken_apart_again_ends_the_readings_of_its_housing() -> None:
    assert "rod_bolts" in KINDS.features["rod_housing_bore"].parts
    assert "rod_bolts" not in KINDS.fits["rod_bearing"].parts  # bolts do not wear


def test_each_strip_and_gap_reads_the_clearance_itself() -> None:
    for fit in KINDS.fits.values():
        for way in fit.ways:
            shapes = {KINDS.features[term.feature].shape for term in way.terms}
            if shapes & {Shape.GAP, Shape.STRIP}:
                assert [term.coefficient for term in way.terms] == [1.0]
