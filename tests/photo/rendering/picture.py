"""From a scene to the bytes of a JPEG, as a phone would write it."""

from __future__ import annotations

import io
import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import convolve1d, gaussian_filter

from .optics import axes_of, bend_of
from .scene import Card, Finish, Light, Scene, Strip, Surface
from .shading import paint

Floats = NDArray[np.float64]

_AWAY = 1e3  # metres: where a part that is not there lies
_STEPS = 2000


def linear_light(scene: Scene) -> Floats:
    """The scene as it falls on the sensor, before blur and noise: (height, width, 3), linear."""
    camera = scene.camera
    place, axes = axes_of(camera, scene.surface)
    strips = _strips(scene.strips)
    cards = card_arrays(scene.cards, bend_of(scene.surface))
    return np.asarray(
        paint(
            camera.width_px,
            camera.height_px,
            scene.samples,
            np.array([camera.focal_px, camera.k1, camera.k2]),
            place,
            axes,
            _surface(scene.surface),
            scene.surface.seed,
            _scratches(scene.surface),
            *strips,
            *cards,
            np.array([_lamp(light) for light in scene.lights]).reshape(-1, 7),
            scene.ambient,
        )
    )


def render(scene: Scene) -> NDArray[np.uint8]:
    """The picture before it is compressed: (height, width, 3), sRGB."""
    return finished(linear_light(scene), scene.finish)


def jpeg(scene: Scene) -> bytes:
    """The picture as a JPEG of the quality that the scene says."""
    return compressed(render(scene), scene.finish)


def compressed(picture: NDArray[np.uint8], finish: Finish) -> bytes:
    """A JPEG with halved colour, as phones write it."""
    out = io.BytesIO()
    Image.fromarray(picture).save(out, "JPEG", quality=finish.jpeg_quality, subsampling=2)
    return out.getvalue()


def finished(light: Floats, finish: Finish) -> NDArray[np.uint8]:
    """Lens, sensor and what the phone makes of it; light is linear."""
    generator = np.random.default_rng(finish.seed)
    grey = light.mean(axis=2)
    scale = 0.72 * finish.exposure / max(float(np.quantile(grey, 0.97)), 1e-6)
    picture = light * scale
    if finish.defocus_px > 0.0:
        picture = gaussian_filter(picture, (finish.defocus_px, finish.defocus_px, 0.0))
    if finish.motion_px > 0.05:
        picture = _moved(picture, finish.motion_px, finish.motion_rad)
    picture = np.clip(picture, 0.0, 1.0) * finish.full_well
    noise = generator.standard_normal(picture.shape)
    noise = gaussian_filter(noise, (0.5, 0.5, 0.0)) * 1.7  # as filling in the colours leaves it
    picture = picture + noise * np.sqrt(picture + finish.read_noise**2)
    picture = np.clip(picture / finish.full_well * np.array(finish.white_balance), 0.0, 1.0)
    tone = np.where(
        picture <= 0.0031308, 12.92 * picture, 1.055 * np.power(picture, 1.0 / 2.4) - 0.055
    )
    if finish.sharpening > 0.0:
        tone = tone + finish.sharpening * (tone - gaussian_filter(tone, (1.2, 1.2, 0.0)))
    return np.asarray(np.clip(tone * 255.0 + 0.5, 0.0, 255.0), dtype=np.uint8)


def _moved(picture: Floats, length_px: float, direction_rad: float) -> Floats:
    """Along a straight line, even over its length; split over rows and columns."""
    for axis, part in ((1, abs(math.cos(direction_rad))), (0, abs(math.sin(direction_rad)))):
        size = length_px * part
        if size > 0.05:
            reach = math.ceil(size / 2.0 + 0.5)
            edges = np.clip(np.arange(-reach, reach + 2) - 0.5, -size / 2.0, size / 2.0)
            weights = np.diff(edges) / size
            picture = convolve1d(picture, weights, axis=axis, mode="nearest")
    return picture


def outline(strip: Strip, z_m: Floats) -> tuple[Floats, Floats]:
    """Left and right edge of a strip's outline in u at places z: the truth of its width."""
    middle = np.interp(z_m, strip.stations_m, strip.centre_m)
    half = 0.5 * np.interp(z_m, strip.stations_m, strip.width_m)
    left, right = _ragged(strip, z_m, 1), _ragged(strip, z_m, 2)
    return middle - half - left, middle + half + right


def true_widths(strip: Strip, z_m: Floats) -> Floats:
    """Width of the outline at places z in metres, along the surface, square to the axis."""
    left, right = outline(strip, z_m)
    return right - left


def _ragged(strip: Strip, z_m: Floats, side: int) -> Floats:
    """How far an edge stands off its smooth outline; one smooth random line a side."""
    if strip.ragged_m == 0.0:
        return np.zeros_like(z_m)
    generator = np.random.default_rng((strip.seed, side))
    low, high = float(strip.stations_m[0]), float(strip.stations_m[-1])
    count = max(int((high - low) / strip.ragged_wave_m * 2.0), 4)
    knots = np.linspace(low, high, count)
    return np.asarray(np.interp(z_m, knots, strip.ragged_m * generator.standard_normal(count)))


def _strips(strips: tuple[Strip, ...]) -> tuple[Floats, Floats, Floats]:
    tables = np.zeros((max(len(strips), 1), _STEPS, 5))
    numbers = np.zeros((len(tables), 9))
    colours = np.zeros((len(tables), 5))
    tables[0, :, 0] = np.linspace(_AWAY, _AWAY + 1.0, _STEPS)
    for k, strip in enumerate(strips):
        z = np.linspace(strip.stations_m[0], strip.stations_m[-1], _STEPS)
        left, right = outline(strip, z)
        middle = np.interp(z, strip.stations_m, strip.centre_m)
        height = np.interp(z, strip.stations_m, strip.height_m)
        tables[k] = np.column_stack([z, middle, middle - left, right - middle, height])
        gaps = [side for gap in strip.gaps[:2] for side in gap]
        gaps += [_AWAY, _AWAY] * (2 - len(strip.gaps[:2]))
        reach = [float(left.min()), float(right.max()) + strip.smear_m]
        numbers[k] = [strip.bulge, strip.rounding, strip.smear_m, *gaps, *reach]
        colours[k] = [*strip.colour, strip.opacity, strip.gloss]
    return tables, numbers, colours


def card_arrays(
    cards: tuple[Card, ...], bend: float
) -> tuple[Floats, NDArray[np.bool_], NDArray[np.float32], Floats]:
    rows = max((card.art.ink.shape[0] for card in cards), default=2)
    columns = max((card.art.ink.shape[1] for card in cards), default=2)
    count = max(len(cards), 1)
    numbers, colours = np.zeros((count, 14)), np.zeros((count, 6))
    presents = np.zeros((count, rows, columns), dtype=np.bool_)
    inks = np.zeros((count, rows, columns), dtype=np.float32)
    numbers[0] = [_AWAY, _AWAY, 1.0, 0.0, 1.0, 1.0, 1e-4, 0.0, 0.0, 0.0, 0.0, 1.0, 2.0, 2.0]
    for k, card in enumerate(cards):
        height, width = card.art.ink.shape
        numbers[k] = [*_card_numbers(card, bend), height, width]
        presents[k, :height, :width] = card.art.present
        inks[k, :height, :width] = card.art.ink
        colours[k] = [*card.paper, *card.ink]
    return numbers, presents, inks, colours


def _card_numbers(card: Card, bend: float) -> Floats:
    # the middle of the thickness keeps its length: arc on the bare surface to length on the card
    stretch = 1.0 + bend * (card.gap_m + 0.5 * card.thickness_m)
    return np.array(
        [
            card.u_m,
            card.z_m,
            math.cos(card.turn_rad),
            math.sin(card.turn_rad),
            card.scale_s,
            card.scale_z,
            card.art.pixel_m,
            card.gap_m,
            card.thickness_m,
            card.lift_per_m,
            card.lift_from_m,
            stretch,
        ]
    )


def _surface(surface: Surface) -> Floats:
    return np.array(
        [
            bend_of(surface),
            0.5 * surface.length_m,
            *surface.colour,
            surface.roughness_along,
            surface.roughness_across,
            surface.gloss,
            surface.mark_depth,
            surface.oil,
        ]
    )


def _lamp(light: Light) -> list[float]:
    direction = np.array(light.direction) / np.linalg.norm(light.direction)
    return [*direction, light.radius_rad, *light.strength]


def _scratches(surface: Surface) -> Floats:
    """Place, direction, half length, half width, lean in u and z, and darkness of each scratch."""
    generator = np.random.default_rng((surface.seed, 77))
    rows = []
    for _ in range(surface.scratches):
        turn = generator.uniform(0.0, math.pi)
        u, z = generator.uniform(-0.012, 0.012), generator.uniform(-0.5, 0.5) * surface.length_m
        size = 10.0 ** generator.uniform(-3.3, -2.0)
        rows.append(
            [u, z, math.cos(turn), math.sin(turn), 0.5 * size, generator.uniform(3e-6, 2.5e-5),
             *generator.normal(0.0, 0.12, 2), generator.uniform(0.5, 1.3)]
        )  # fmt: skip
    return np.array(rows).reshape(-1, 9)
