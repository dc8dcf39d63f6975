"""What makes a picture fair to read: told from the scene, before anybody reads it.

A fair scene is one that a person who follows the advice on the card would make: near enough, still,
sharp, square enough, the card flat and whole in the picture, the strip beside it seen along the
window, its edges neither in glare nor of the ground's own brightness. Every figure is set here, by
judgement, and is not to be moved to suit a reader.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .optics import pixel_of, pixels_per_metre, view_angle_rad
from .picture import outline
from .scene import Card, Kind, Scene

Floats = NDArray[np.float64]

LEAST_PIXELS_PER_MM = 24.0
LEAST_PIXELS_ACROSS = 14.0
MOST_TILT_RAD = math.radians(32.0)
MOST_DEFOCUS_PX = 1.6
MOST_MOTION_PX = 2.5
LEAST_FULL_WELL = 2500.0
LEAST_EDGE_STEP = 0.06  # inside against outside of the strip's edge, over the light of paper
MOST_POOR_EDGE = 0.25  # share of the edge that may lie in glare or lack that step
FULL = 0.985  # of full scale, after exposure


@dataclass(frozen=True, kw_only=True, slots=True)
class Fairness:
    """Whether a scene is fair, and the words for what is not."""

    reasons: tuple[str, ...]

    @property
    def fair(self) -> bool:
        """Nothing speaks against it."""
        return not self.reasons


def fairness(scene: Scene, light: Floats) -> Fairness:
    """Judge a scene with one strip and one card; ``light`` is what falls on the sensor."""
    reasons = []
    if len(scene.strips) != 1 or len(scene.cards) != 1:
        return Fairness(reasons=("not one strip and one card",))
    strip, card, finish = scene.strips[0], scene.cards[0], scene.finish
    u, z = float(np.mean(strip.centre_m)), card.z_m
    scale = pixels_per_metre(scene, u, z)
    if (
        scale < LEAST_PIXELS_PER_MM * 1e3
        or scale * float(strip.width_m.min()) < LEAST_PIXELS_ACROSS
    ):
        reasons.append("too far")
    if view_angle_rad(scene, u, z) > MOST_TILT_RAD:
        reasons.append("tilted")
    if finish.defocus_px > MOST_DEFOCUS_PX or finish.motion_px > MOST_MOTION_PX:
        reasons.append("blurred")
    if finish.full_well < LEAST_FULL_WELL:
        reasons.append("dark and noisy")
    if card.lift_per_m > 0.0:
        reasons.append("card lifted")
    if not _card_in_view(scene, card):
        reasons.append("card not whole in the picture")
    if strip.smear_m > 0.0 or strip.gaps:
        reasons.append("strip smeared or torn")
    if not _strip_in_window(scene):
        reasons.append("strip not in the window")
    if poor_edge_share(scene, light) > MOST_POOR_EDGE:
        reasons.append("edge in glare or without contrast")
    return Fairness(reasons=tuple(reasons))


def window_span_m(card: Card) -> tuple[float, float, float, float]:
    """The card's open window: least and largest place across and along it, from its middle."""
    rows, columns = np.nonzero(~card.art.present)
    height, width = card.art.present.shape
    pixel = card.art.pixel_m
    return (
        (columns.min() - 0.5 * width) * pixel * card.scale_s,
        (columns.max() + 1 - 0.5 * width) * pixel * card.scale_s,
        (rows.min() - 0.5 * height) * pixel * card.scale_z,
        (rows.max() + 1 - 0.5 * height) * pixel * card.scale_z,
    )


def _card_in_view(scene: Scene, card: Card) -> bool:
    height, width = card.art.present.shape
    half_s = 0.5 * width * card.art.pixel_m * card.scale_s
    half_z = 0.5 * height * card.art.pixel_m * card.scale_z
    camera = scene.camera
    for side in (-1.0, -0.5, 0.0, 0.5, 1.0):
        for end in (-1.0, 0.0, 1.0):
            s, w = side * half_s, end * half_z
            u = card.u_m + s * math.cos(card.turn_rad) - w * math.sin(card.turn_rad)
            z = card.z_m + s * math.sin(card.turn_rad) + w * math.cos(card.turn_rad)
            if view_angle_rad(scene, u, z) > math.radians(70.0):
                return False
            x, y = pixel_of(scene, u, z, card.thickness_m)
            if not (4.0 <= x < camera.width_px - 4.0 and 4.0 <= y < camera.height_px - 4.0):
                return False
    return scene.surface.kind is not Kind.JOURNAL or half_s < 0.5 * scene.surface.diameter_m


def _strip_in_window(scene: Scene) -> bool:
    """Both edges at least 0.25 mm clear of the card, and strip over 0.7 of the window's length."""
    strip, card = scene.strips[0], scene.cards[0]
    left, right, low, high = window_span_m(card)
    z = np.linspace(card.z_m + 0.9 * low, card.z_m + 0.9 * high, 60)
    inside = (z > strip.stations_m[0]) & (z < strip.stations_m[-1])
    if inside.mean() < 0.7:
        return False
    edge_left, edge_right = outline(strip, z[inside])
    drift = card.turn_rad * (z[inside] - card.z_m)
    clear = 0.25e-3
    return bool(
        (edge_left > card.u_m - drift + left + clear).all()
        and (edge_right < card.u_m - drift + right - clear).all()
    )


def poor_edge_share(scene: Scene, light: Floats) -> float:
    """Share of the strip's edge in the window that is in glare, or no step in the light."""
    strip, card = scene.strips[0], scene.cards[0]
    _, _, low, high = window_span_m(card)
    z = np.linspace(card.z_m + 0.9 * low, card.z_m + 0.9 * high, 120)
    z = z[(z > strip.stations_m[0]) & (z < strip.stations_m[-1])]
    if not z.size:
        return 1.0
    grey_scale = 0.72 * scene.finish.exposure / float(np.quantile(light.mean(axis=2), 0.97))
    left, right = outline(strip, z)
    poor = np.zeros(0, dtype=bool)
    off = max(0.06e-3, 1.5 / pixels_per_metre(scene, float(np.mean(strip.centre_m)), card.z_m))
    for edge, outwards in ((left, -1.0), (right, 1.0)):
        inner = _light_at(scene, light, edge - outwards * off, z) * grey_scale
        outer = _light_at(scene, light, edge + outwards * off, z) * grey_scale
        glare = np.maximum(inner.max(axis=1), outer.max(axis=1)) > FULL
        step = np.abs(inner - outer).max(axis=1) < LEAST_EDGE_STEP
        poor = np.concatenate([poor, glare | step])
    return float(poor.mean())


def _light_at(scene: Scene, light: Floats, u: Floats, z: Floats) -> Floats:
    """Light round each place, the mean of three by three pixels."""
    height, width, _ = light.shape
    found = np.full((u.size, 3), 1e9)
    for k in range(u.size):
        x, y = pixel_of(scene, float(u[k]), float(z[k]), 0.0)
        i, j = round(y), round(x)
        if 1 <= i < height - 1 and 1 <= j < width - 1:
            found[k] = light[i - 1 : i + 2, j - 1 : j + 2].mean(axis=(0, 1))
    return found
