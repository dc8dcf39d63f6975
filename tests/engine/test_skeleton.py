"""A skeleton passes its own check as it is, and with its blanks filled in."""

import re

import pytest

from oilwedge.engine.file import check_engine, read_engine
from oilwedge.engine.layout import LayoutKind
from oilwedge.engine.skeleton import SkeletonAnswers, write_skeleton
from oilwedge.errors import EngineFileError


def skeleton(kind: LayoutKind, cylinders: int, units: str = "mm") -> str:
    return write_skeleton(
        answers=SkeletonAnswers(kind=kind, cylinders=cylinders, units=units, cam_bearings=3)
    )


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("kind", list(LayoutKind))
@pytest.mark.parametrize("cylinders", range(1, 17))
def test_a_skeleton_has_no_faults(kind: LayoutKind, cylinders: int, units: str) -> None:
    assert check_engine(skeleton(kind, cylinders, units), file="new.toml").faults == ()


COMMON = [
    *[(LayoutKind.IN_LINE, n) for n in range(1, 7)],
    (LayoutKind.V, 2),
    (LayoutKind.V, 8),
    (LayoutKind.FLAT, 2),
    (LayoutKind.FLAT, 4),
]


@pytest.mark.parametrize(("kind", "cylinders"), COMMON)
def test_a_common_layout_is_proposed_and_can_fire(kind: LayoutKind, cylinders: int) -> None:
    text = skeleton(kind, cylinders)
    assert check_engine(text, file="new.toml").warnings == ()
    assert "common practice, check yours" in text
    assert "NOT known" not in text


@pytest.mark.parametrize(("kind", "cylinders"), [c for c in COMMON if c[1] > 2])
def test_a_common_layout_fires_evenly(kind: LayoutKind, cylinders: int) -> None:
    """Two turns shared out evenly among the cylinders (arithmetic): bank less throw angle."""
    layout = read_engine(skeleton(kind, cylinders), file="new.toml").layout
    centres = [
        layout.bank_angle_deg[rod - 1] - layout.throw_of(rod).angle_deg
        for rod in layout.firing_order
    ]
    steps = [
        (later - now) % 360 for now, later in zip(centres, [*centres[1:], centres[0]], strict=True)
    ]
    assert steps == pytest.approx([720 / cylinders % 360] * cylinders)


def test_a_layout_that_is_not_known_says_so() -> None:
    assert "NOT known for this layout" in skeleton(LayoutKind.V, 10)


def test_no_limits_are_given_yet() -> None:
    engine = read_engine(skeleton(LayoutKind.IN_LINE, 4), file="new.toml")
    assert not any(fit.has_limits for fit in engine.fits.values())
    assert len(engine.fits) == 32


def test_the_blanks_can_be_filled_in() -> None:
    text = skeleton(LayoutKind.IN_LINE, 4)
    text = text.replace('# build = ["? mm", "? mm"]', 'build = ["0.02 mm", "0.05 mm"]')
    text = text.replace('# build = "? mm"', 'build = "0.01 mm"')
    text = text.replace('# service = "? mm"', 'service = "0.08 mm"')
    text = re.sub(r"# (from|front|rod_caps|main_caps|pistons|reuse|notes) =", r"\1 =", text)
    text = text.replace('# stages = ["? N m", "? deg"]', 'stages = ["20 N m", "90 deg"]')
    text = text.replace('# meaning = "', 'meaning = "').replace('# speed = "?', 'speed = "6000')
    # a housing or journal size is judged by its own limits: those lines stay as they are
    kept = re.sub(
        r"(\[fits\.\w+(?:_size|_housing)\][^\[]*?)build = \[[^\]]*\]\nservice = [^\n]*",
        r"\1",
        text,
    )
    engine = read_engine(kept, file="new.toml")
    assert engine.fits["rod_bearing"].low_m == 2e-5
    assert engine.fits["rod_journal_taper"].service_high_m == 8e-5
    assert engine.fasteners["rod_bolts"].stages[0].torque_n_m == 20


def test_answers_stand_in_the_file() -> None:
    answers = SkeletonAnswers(
        kind=LayoutKind.V,
        cylinders=2,
        name='the "old" one',
        v_angle_deg=45.0,
        main_bearings=2,
        firing_order=(2, 1),
        strokes=4,
    )
    engine = read_engine(write_skeleton(answers=answers), file="new.toml")
    assert engine.name == 'the "old" one'
    assert engine.layout.firing_order == (2, 1)
    assert engine.layout.bank_angle_deg == (22.5, -22.5)


@pytest.mark.parametrize("cylinders", [0, -1, 33])
def test_an_impossible_number_of_cylinders_is_refused(cylinders: int) -> None:
    with pytest.raises(EngineFileError, match="from 1 to 32"):
        write_skeleton(answers=SkeletonAnswers(kind=LayoutKind.V, cylinders=cylinders))


@pytest.mark.parametrize("cylinders", [1, 2, 3, 4, 6])
def test_the_throws_and_firing_order_of_a_two_stroke_go_together(cylinders: int) -> None:
    answers = SkeletonAnswers(kind=LayoutKind.IN_LINE, cylinders=cylinders, strokes=2)
    checked = check_engine(write_skeleton(answers=answers), file="new.toml")
    assert checked.engine is not None
    assert checked.warnings == ()
