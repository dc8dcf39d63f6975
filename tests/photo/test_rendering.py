"""The renderer is the ground truth of the photo tests: it is held to geometry, not to a reader."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import map_coordinates
from tests.photo.rendering.drawing import draw_scene
from tests.photo.rendering.fairness import fairness, poor_edge_share
from tests.photo.rendering.optics import (
    bend_of,
    normal_at,
    pixel_of,
    pixels_per_metre,
    point_at,
    view_angle_rad,
)
from tests.photo.rendering.picture import (
    card_arrays,
    finished,
    jpeg,
    linear_light,
    outline,
    true_widths,
)
from tests.photo.rendering.scene import (
    Camera,
    Card,
    CardArt,
    Finish,
    Kind,
    Light,
    Scene,
    Strip,
    Surface,
)
from tests.photo.rendering.shading import card_at

KINDS = tuple(Kind)


def plain_surface(kind: Kind) -> Surface:
    return Surface(
        kind=kind, diameter_m=0.05, length_m=0.03, colour=(0.6, 0.6, 0.6), roughness_across=0.3,
        roughness_along=0.3, gloss=0.0, mark_depth=0.0, scratches=0, oil=0.0, seed=1,
    )  # fmt: skip


def strip(**changes: object) -> Strip:
    z = np.linspace(-8e-3, 8e-3, 50)
    plain = Strip(
        stations_m=z, centre_m=0.3e-3 + 0.02 * z, width_m=1.0e-3 + 0.02 * z,
        height_m=np.full(50, 2e-6), colour=(0.02, 0.02, 0.02), opacity=1.0, gloss=0.0,
    )  # fmt: skip
    return replace(plain, **changes)  # type: ignore[arg-type]


def checks() -> CardArt:
    ink = np.kron(np.indices((12, 16)).sum(axis=0) % 2, np.ones((20, 20))).astype(np.float32)
    present = np.ones(ink.shape, dtype=bool)
    present[40:200, 120:200] = False
    return CardArt(ink=ink, present=present, pixel_m=0.05e-3)


def scene(kind: Kind, **changes: object) -> Scene:
    plain = Scene(
        surface=plain_surface(kind),
        strips=(strip(),),
        cards=(),
        camera=Camera(
            width_px=400, height_px=300, focal_px=450.0, distance_m=0.04, look_u_m=0.0002,
            look_z_m=-0.0003, tilt_rad=0.35, tilt_azimuth_rad=0.8, roll_rad=0.4, k1=-0.06, k2=0.02,
        ),
        lights=(Light(direction=(0.0, 1.0, 0.0), radius_rad=0.3, strength=(0.5, 0.5, 0.5)),),
        ambient=0.6,
        samples=4,
    )  # fmt: skip
    return replace(plain, **changes)  # type: ignore[arg-type]


def grey_along(picture: np.ndarray, s: Scene, u: np.ndarray, z: np.ndarray) -> np.ndarray:
    places = np.array([pixel_of(s, a, b, 0.0) for a, b in zip(u, z, strict=True)])
    grey = picture.mean(axis=2)
    return np.asarray(map_coordinates(grey, [places[:, 1], places[:, 0]], order=1))


@pytest.mark.parametrize("kind", KINDS)
def test_a_strip_is_drawn_as_wide_as_its_truth(kind: Kind) -> None:
    s = scene(kind)
    picture = linear_light(s)
    for z in (-5e-3, 0.0, 4e-3):
        u = np.linspace(-1.5e-3, 2e-3, 4001)
        grey = grey_along(picture, s, u, np.full(u.size, z))
        # under the step's middle; an edge that is thin against a pixel moves by none of it
        dark = grey < 0.5 * (grey.min() + grey.max())
        width = dark.sum() * (u[1] - u[0])
        true = float(true_widths(s.strips[0], np.array([z]))[0])
        assert width == pytest.approx(true, abs=0.15 / pixels_per_metre(s, 0.0, z))
        left, right = outline(s.strips[0], np.array([z]))
        assert u[dark].mean() == pytest.approx(
            float(left[0] + right[0]) / 2.0, abs=0.15 / pixels_per_metre(s, 0.0, z)
        )


@pytest.mark.parametrize("kind", KINDS)
def test_a_card_is_drawn_where_its_corners_project(kind: Kind) -> None:
    card = Card(art=checks(), thickness_m=1e-6, u_m=0.2e-3, z_m=0.0, turn_rad=0.1)
    s = scene(kind, strips=(), cards=(card,))
    picture = linear_light(s)
    for column, row in ((2, 3), (5, 9), (11, 4), (14, 10)):
        a, b = (column - 8) * 1e-3, (row - 6) * 1e-3
        fields = []
        for da, db in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
            aa, bb = a + da * 0.35e-3, b + db * 0.35e-3
            u = 0.2e-3 + aa * math.cos(0.1) - bb * math.sin(0.1)
            z = aa * math.sin(0.1) + bb * math.cos(0.1)
            x, y = pixel_of(s, u, z, 0.0)
            fields.append(float(picture[round(y), round(x)].mean()))
        printed = [(column + c + row + r) % 2 == 1 for c, r in ((-1, -1), (0, -1), (0, 0), (-1, 0))]
        assert max(f for f, ink in zip(fields, printed, strict=True) if ink) < 0.5 * min(
            f for f, ink in zip(fields, printed, strict=True) if not ink
        )


@pytest.mark.parametrize("kind", KINDS)
def test_paper_bends_by_its_middle(kind: Kind) -> None:
    """8 mm of card of 0.4 mm, bent: 8 mm · R/(R + t/2) of arc on a journal, more in a shell."""
    card = Card(art=checks(), thickness_m=0.4e-3, u_m=0.0, z_m=0.0, turn_rad=0.0)
    numbers, presents, _, _ = card_arrays((card,), bend_of(plain_surface(kind)))
    edge = {Kind.JOURNAL: 8e-3 * 25.0 / 25.2, Kind.SHELL: 8e-3 * 25.0 / 24.8, Kind.FLAT: 8e-3}[kind]
    assert card_at(edge - 1e-7, 0.0, numbers[0], presents[0])[0] == pytest.approx(0.4e-3)
    assert card_at(edge + 1e-7, 0.0, numbers[0], presents[0])[0] == 0.0


@pytest.mark.parametrize("kind", KINDS)
def test_places_lie_on_their_surface(kind: Kind) -> None:
    surface = plain_surface(kind)
    for u in (-0.01, 0.0, 0.007):
        step = point_at(surface, u + 1e-7, 0.0, 0.0) - point_at(surface, u, 0.0, 0.0)
        assert np.linalg.norm(step) == pytest.approx(1e-7, rel=1e-5)
        assert step @ normal_at(surface, u) == pytest.approx(0.0, abs=1e-12)
        rise = point_at(surface, u, 0.0, 1e-4) - point_at(surface, u, 0.0, 0.0)
        assert rise == pytest.approx(1e-4 * normal_at(surface, u), abs=1e-12)
    assert (
        point_at(surface, 0.01, 0.0, 0.0)[1] * {"journal": -1, "shell": 1, "flat": 0}[kind.value]
        >= 0.0
    )


def test_nothing_is_mirrored() -> None:
    """With z down and u to the right, seen from the camera's side."""
    s = scene(Kind.FLAT, camera=replace(scene(Kind.FLAT).camera, roll_rad=0.0, tilt_rad=0.0))
    x, y = pixel_of(s, 0.0, 0.0, 0.0)
    assert pixel_of(s, 1e-3, 0.0, 0.0)[0] > x + 5.0
    assert pixel_of(s, 0.0, 1e-3, 0.0)[1] > y + 5.0


def test_the_sight_line_leans_as_the_camera_is_tilted() -> None:
    s = scene(Kind.FLAT)
    assert view_angle_rad(s, s.camera.look_u_m, s.camera.look_z_m) == pytest.approx(0.35)


def test_ten_millimetres_beside_the_middle_a_journal_is_foreshortened_by_eight_per_cent() -> None:
    """cos(10/25) = 0.92, seen from far away."""
    far = replace(
        scene(Kind.JOURNAL).camera,
        tilt_rad=0.0, distance_m=5.0, focal_px=1e5, look_u_m=0.0, k1=0.0, k2=0.0,
    )  # fmt: skip
    s = scene(Kind.JOURNAL, camera=far)
    ratio = pixels_per_metre(s, 0.01, 0.0) / pixels_per_metre(s, 0.0, 0.0)
    assert ratio == pytest.approx(math.cos(0.4), abs=0.002)


def test_a_thick_strip_throws_a_shadow_away_from_the_lamp() -> None:
    low = Light(direction=(1.0, 0.5, 0.0), radius_rad=0.1, strength=(0.8, 0.8, 0.8))
    thick = strip(height_m=np.full(50, 0.2e-3), centre_m=np.zeros(50), width_m=np.full(50, 1e-3))
    s = scene(
        Kind.FLAT, strips=(thick,), lights=(low,),
        camera=replace(scene(Kind.FLAT).camera, tilt_rad=0.0),
    )  # fmt: skip
    picture = linear_light(s)
    away, towards = (
        grey_along(picture, s, np.array([side * 0.7e-3]), np.array([0.0]))[0] for side in (-1, 1)
    )
    assert away < 0.8 * towards


def test_the_same_seed_gives_the_same_picture() -> None:
    def art(kind: Kind, diameter_m: float, length_m: float) -> CardArt:
        assert 0.02 < diameter_m < 0.1
        assert length_m > 0.0
        assert kind in KINDS
        return checks()

    first, again = (draw_scene(seed=5, card_for=art, width_px=160, height_px=120) for _ in "ab")
    assert jpeg(first) == jpeg(again)
    assert jpeg(draw_scene(seed=6, card_for=art, width_px=160, height_px=120)) != jpeg(first)


def test_the_strip_that_is_drawn_keeps_the_section_of_its_thread() -> None:
    """π d²/4 = w h for the pressed width; the outline adds the bulge of both sides."""
    for seed in range(8):
        drawn = draw_scene(seed=seed, card_for=lambda *_: checks()).strips[0]
        pressed = drawn.width_m - 2.0 * drawn.bulge * drawn.height_m
        section = pressed * drawn.height_m
        assert section == pytest.approx(float(section[0]))
        thread = math.sqrt(4.0 * float(section[0]) / math.pi)
        assert 0.12e-3 < thread < 0.51e-3


def test_what_is_not_fair_is_named() -> None:
    s = scene(Kind.JOURNAL, cards=(Card(
        art=checks(), thickness_m=0.1e-3, u_m=0.3e-3, z_m=0.0, turn_rad=0.0),))  # fmt: skip
    light = linear_light(s)
    assert poor_edge_share(s, light) < 0.1
    assert "too far" in fairness(s, light).reasons
    assert "tilted" not in fairness(s, light).reasons
    leaning = replace(s, camera=replace(s.camera, tilt_rad=0.9))
    assert "tilted" in fairness(leaning, linear_light(leaning)).reasons
    shaken = replace(s, finish=Finish(motion_px=6.0))
    assert "blurred" in fairness(shaken, light).reasons
    aside = replace(s, strips=(replace(s.strips[0], centre_m=s.strips[0].centre_m + 3e-3),))
    assert "strip not in the window" in fairness(aside, light).reasons
    ground = replace(s, strips=(replace(s.strips[0], colour=(0.6, 0.6, 0.6)),))
    assert "edge in glare or without contrast" in fairness(ground, linear_light(ground)).reasons
    assert not fairness(replace(s, cards=()), light).fair


def test_blur_spreads_an_edge_and_leaves_its_place() -> None:
    light = np.zeros((40, 40, 3))
    light[:, 20:] = 1.0
    sharp = finished(light, Finish(defocus_px=0.0, full_well=1e6))[20, :, 0].astype(float)
    soft = finished(light, Finish(defocus_px=2.0, full_well=1e6))[20, :, 0].astype(float)
    assert (np.diff(sharp) > 20).sum() == 1
    assert (np.diff(soft) > 5).sum() > 4
    moved = finished(light, Finish(defocus_px=0.0, motion_px=5.0, full_well=1e6))[20, :, 0]
    assert moved[:17].max() == sharp[:17].max()
    assert moved[23:].min() == sharp[23:].min()
