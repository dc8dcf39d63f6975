"""Ways of getting at a fit, carried out on sizes."""

from __future__ import annotations

import math

import pytest

from oilwedge.engine.model import Fit, Judged, JudgedAt, Per, Shape, Term, Way, WayKind
from oilwedge.fits.way import hidden_form_m, measure_way
from oilwedge.metrology.form import FormFit
from oilwedge.metrology.size import SizeEstimate
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

UM = 1e-6
SHAPES = {
    "bore": Shape.INSIDE,
    "shaft": Shape.OUTSIDE,
    "upper": Shape.WALL,
    "lower": Shape.WALL,
    "gap": Shape.GAP,
}


def source(key: str) -> ErrorSource:
    return ErrorSource(key=key, kind=SourceKind.PERMISSIBLE_ERROR, words=key)


def exactly(um: float) -> Quantity:
    return Quantity(um * UM, {})


def size(label: str, form: FormFit | None, **rest: float | None) -> SizeEstimate:
    return SizeEstimate(label=label, form=form, **rest)  # type: ignore[arg-type]


def way(kind: WayKind, **terms: float) -> Way:
    return Way(
        key="way",
        title="way",
        kind=kind,
        terms=tuple(Term(coefficient=c, feature=f) for f, c in terms.items()),
        extra_standard_uncertainty_m=3 * UM if kind is WayKind.WALLS else 0.0,
    )


BORE = way(WayKind.GAUGED, bore=1.0, shaft=-1.0)
WALLS = way(WayKind.WALLS, bore=1.0, upper=-1.0, lower=-1.0, shaft=-1.0)


def fit(one: Way, **rest: object) -> Fit:
    return Fit(key="f", title="fit", per=Per.ROD, count=4, ways=(one,), parts=("p",), **rest)  # type: ignore[arg-type]


def carry_out(one: Way, sizes: dict[str, SizeEstimate], **rest: object):  # type: ignore[no-untyped-def]
    return measure_way(fit=fit(one, **rest), way=one, label="fit 1", sizes=sizes, shapes=SHAPES)


def test_a_clearance_is_bore_less_shaft_on_the_diameter() -> None:
    sizes = {
        "bore": size("bore", FormFit(mean=exactly(48_010))),
        "shaft": size("shaft", FormFit(mean=exactly(47_972))),
    }
    found = carry_out(BORE, sizes)
    assert found.evidence.mean.value == pytest.approx(38 * UM)
    assert (
        found.evidence.smallest.value == found.evidence.largest.value == found.evidence.mean.value
    )
    assert found.usable
    assert found.missing == ()


def test_both_walls_come_off_a_bare_housing_once_each_and_the_nip_is_allowed_for() -> None:
    sizes = {
        "bore": size("bore", FormFit(mean=exactly(51_008))),
        "upper": size("upper", FormFit(mean=exactly(1_499))),
        "lower": size("lower", FormFit(mean=exactly(1_500))),
        "shaft": size("shaft", FormFit(mean=exactly(47_972))),
    }
    evidence = carry_out(WALLS, sizes).evidence
    assert evidence.mean.value == pytest.approx(37 * UM)
    assert evidence.mean.standard_uncertainty == pytest.approx(3 * UM)
    assert evidence.smallest.standard_uncertainty == pytest.approx(3 * UM)


def test_a_bare_housing_counts_at_the_crown_and_its_oval_does_not() -> None:
    """10 µm oval, large square to the split: the crown has the mean and 5 µm more."""
    oval = FormFit(mean=exactly(51_000), lobe_cos=exactly(5), lobe_sin=exactly(0), lobes=2)
    sizes = {
        "bore": size("bore", oval),
        "upper": size("upper", FormFit(mean=exactly(1_500))),
        "lower": size("lower", FormFit(mean=exactly(1_500))),
        "shaft": size("shaft", FormFit(mean=exactly(47_970))),
    }
    evidence = carry_out(WALLS, sizes).evidence
    assert evidence.mean.value == pytest.approx(35 * UM)
    assert evidence.smallest.value == pytest.approx(35 * UM)
    # fitted shells are read at the crown alone; a bore's oval reaches the film in the other way
    gauged = carry_out(BORE, {**sizes, "bore": size("bore", oval)}).evidence
    assert gauged.largest.value - gauged.smallest.value == pytest.approx(10 * UM)


def test_a_tapered_journal_is_tightest_at_its_thick_end() -> None:
    """Slope +4 µm from middle to rear: the journal is thick at the rear, the fit tight there."""
    sizes = {
        "bore": size("bore", FormFit(mean=exactly(48_010))),
        "shaft": size("shaft", FormFit(mean=exactly(47_972), slope=exactly(4))),
    }
    found = carry_out(BORE, sizes)
    assert found.evidence.smallest.value == pytest.approx(34 * UM)
    assert found.evidence.largest.value == pytest.approx(42 * UM)
    assert (found.smallest_at, found.largest_at) == (1.0, -1.0)
    assert found.taper.value == pytest.approx(-8 * UM)


def test_a_bore_that_follows_its_journal_has_no_taper_left() -> None:
    sizes = {
        "bore": size("bore", FormFit(mean=exactly(48_010), slope=exactly(4))),
        "shaft": size("shaft", FormFit(mean=exactly(47_972), slope=exactly(4))),
    }
    found = carry_out(BORE, sizes)
    assert found.evidence.smallest.value == pytest.approx(38 * UM)
    assert found.evidence.largest.value == pytest.approx(38 * UM)


def test_an_error_that_bore_and_shaft_share_cancels_and_two_of_their_own_do_not() -> None:
    def sizes(bore: str, shaft: str) -> dict[str, SizeEstimate]:
        return {
            "bore": size("bore", FormFit(mean=Quantity(48_010 * UM, {source(bore): 2 * UM}))),
            "shaft": size("shaft", FormFit(mean=Quantity(47_972 * UM, {source(shaft): 2 * UM}))),
        }

    shared = carry_out(BORE, sizes("mic", "mic")).evidence.mean
    apart = carry_out(BORE, sizes("mic 1", "mic 2")).evidence.mean
    assert shared.standard_uncertainty == 0.0
    assert apart.standard_uncertainty == pytest.approx(2 * math.sqrt(2) * UM)


@pytest.mark.parametrize("side", ["low_judged_at", "high_judged_at"])
def test_an_engine_file_may_have_a_side_judged_on_the_mean(side: str) -> None:
    sizes = {
        "bore": size("bore", FormFit(mean=exactly(48_010))),
        "shaft": size("shaft", FormFit(mean=exactly(47_972), slope=exactly(4))),
    }
    evidence = carry_out(BORE, sizes, **{side: JudgedAt.MEAN}).evidence
    low, high = (38, 42) if side == "low_judged_at" else (34, 38)
    assert evidence.smallest.value == pytest.approx(low * UM)
    assert evidence.largest.value == pytest.approx(high * UM)


def test_what_is_not_measured_is_named() -> None:
    found = carry_out(BORE, {"bore": size("bore", FormFit(mean=exactly(48_010)))})
    assert found.missing == ("shaft",)
    assert found.evidence.empty
    assert not found.usable


def test_a_bound_on_a_gap_bounds_the_fit_and_is_halved_with_it() -> None:
    """A run-out limit that speaks of the bend: half of the dial's swing."""
    bend = way(WayKind.DIRECT, gap=0.5)
    gap = size("gap", None, at_least_m=80 * UM, everywhere_at_least_m=80 * UM)
    evidence = carry_out(bend, {"gap": gap}).evidence
    assert evidence.at_least_m == pytest.approx(40 * UM)
    assert evidence.everywhere_at_least_m == pytest.approx(40 * UM)
    assert evidence.at_most_m is None


def test_a_bound_on_one_of_two_sizes_does_not_bound_the_clearance() -> None:
    bore = size("bore", None, at_least_m=48_000 * UM)
    assert carry_out(BORE, {"bore": bore}).evidence.empty


def test_the_bend_is_half_of_the_dial_reading() -> None:
    bend = way(WayKind.DIRECT, gap=0.5)
    reading = size("gap", FormFit(mean=Quantity(40 * UM, {source("dial"): 4 * UM})))
    mean = carry_out(bend, {"gap": reading}).evidence.mean
    assert mean.value == pytest.approx(20 * UM)
    assert mean.standard_uncertainty == pytest.approx(2 * UM)


SHAFT = way(WayKind.DIRECT, shaft=1.0)


def tapered(length_m: float | None) -> dict[str, SizeEstimate]:
    return {
        "shaft": SizeEstimate(
            label="shaft",
            form=FormFit(mean=exactly(47_972)),
            taper=exactly(12),
            out_of_round=exactly(5),
            length_m=length_m,
        )
    }


def test_form_is_judged_by_itself() -> None:
    taper = carry_out(SHAFT, tapered(0.03), judged=Judged.TAPER).evidence
    oval = carry_out(SHAFT, tapered(0.03), judged=Judged.OUT_OF_ROUND).evidence
    assert taper.largest.value == pytest.approx(12 * UM)
    assert oval.largest.value == pytest.approx(5 * UM)


def test_a_taper_per_length_is_scaled_to_that_length() -> None:
    """12 µm over 30 mm are 10 µm in 25 mm."""
    evidence = carry_out(SHAFT, tapered(0.03), judged=Judged.TAPER, per_length_m=0.025).evidence
    assert evidence.largest.value == pytest.approx(10 * UM)


def test_a_taper_per_length_over_an_unknown_length_is_not_judged() -> None:
    found = carry_out(SHAFT, tapered(None), judged=Judged.TAPER, per_length_m=0.025)
    assert found.evidence.empty
    assert found.missing == ("shaft",)


GAUGE = Way(
    key="gauge",
    title="zeroed gauge",
    kind=WayKind.ZEROED_GAUGE,
    terms=(Term(coefficient=1.0, feature="gap"),),
)


def zeroed(slope_um: float | None) -> dict[str, SizeEstimate]:
    """A gauge that reads 30 µm on the average, zeroed at a journal with this taper."""
    slope = None if slope_um is None else exactly(slope_um)
    return {
        "gap": size("gap", FormFit(mean=exactly(30))),
        "shaft": size("shaft", FormFit(mean=exactly(47_972), slope=slope)),
    }


def through_the_gauge(sizes: dict[str, SizeEstimate]):  # type: ignore[no-untyped-def]
    whole = Fit(key="f", title="fit", per=Per.ROD, count=4, ways=(BORE, GAUGE), parts=("p",))
    return measure_way(fit=whole, way=GAUGE, label="fit 1", sizes=sizes, shapes=SHAPES)


def test_a_zeroed_gauge_takes_the_taper_of_the_journal_and_not_its_size() -> None:
    """8 µm thicker at the rear (+4 there): the clearance is 26 µm there and 34 µm at the front."""
    found = through_the_gauge(zeroed(4))
    assert found.evidence.mean.value == pytest.approx(30 * UM)
    assert found.evidence.smallest.value == pytest.approx(26 * UM)
    assert found.evidence.largest.value == pytest.approx(34 * UM)
    assert found.smallest_at == 1.0


def test_it_is_not_known_at_which_spot_of_a_tapered_journal_the_gauge_was_zeroed() -> None:
    """Root mean square of 4 µm·z over the length is 4/√3; ± 2 µm of it is in the size already."""
    u = through_the_gauge(zeroed(4)).evidence.mean.standard_uncertainty
    assert u == pytest.approx(math.sqrt(16 / 3 - 4 / 3) * UM)
    assert through_the_gauge(zeroed(1)).evidence.mean.standard_uncertainty == 0.0
    assert through_the_gauge(zeroed(None)).evidence.mean.standard_uncertainty == 0.0


@pytest.mark.parametrize(
    ("form", "hidden_um"),
    [
        (FormFit(mean=exactly(1), lobe_cos=exactly(2), lobe_sin=exactly(0), lobes=1), 2.0),
        (FormFit(mean=exactly(1), lobe_cos=exactly(2), lobe_sin=exactly(0), lobes=2), 0.0),
        (FormFit(mean=exactly(1), lobe_cos=exactly(1), lobe_sin=exactly(0), lobes=1), 0.0),
        (FormFit(mean=exactly(1), slope=exactly(-4)), 2.0),
        (FormFit(mean=exactly(1), slope=exactly(-4), barrel=exactly(0)), 0.0),
        (FormFit(mean=exactly(1), slope=exactly(1)), 0.0),
    ],
)
def test_large_form_may_hide_as_much_again_from_two_directions_or_places(
    form: FormFit, hidden_um: float
) -> None:
    assert hidden_form_m([(-1.0, form)]) == pytest.approx(hidden_um * UM)


def test_a_gauge_zeroed_at_a_journal_that_nobody_measured_leaves_its_form_open() -> None:
    alone = {"gap": size("gap", FormFit(mean=exactly(30)))}
    assert through_the_gauge(alone).evidence.hidden_form_m == pytest.approx(5 * UM)
    assert through_the_gauge(zeroed(0)).evidence.hidden_form_m == 0.0


def test_a_fit_judged_on_its_mean_loses_nothing_to_form_that_may_hide() -> None:
    sizes = {
        "bore": size("bore", FormFit(mean=exactly(48_010))),
        "shaft": size("shaft", FormFit(mean=exactly(47_972), slope=exactly(4))),
    }
    on_mean = {"low_judged_at": JudgedAt.MEAN, "high_judged_at": JudgedAt.MEAN}
    assert carry_out(BORE, sizes).evidence.hidden_form_m == pytest.approx(2 * UM)
    assert carry_out(BORE, sizes, **on_mean).evidence.hidden_form_m == 0.0
