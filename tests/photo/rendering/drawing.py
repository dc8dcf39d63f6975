"""Scenes drawn by seed over the whole space in which people take such pictures, and beyond.

What a scene is like is drawn first, whether it is fair is told from its own parameters and from the
light that falls (:mod:`.fairness`), and only then is it rendered: no scene is thrown away for being
hard. Ranges are the judgement of whoever wrote this; nobody's photographs were measured.
"""

from __future__ import annotations

import colorsys
import math
from collections.abc import Callable

import numpy as np

from .scene import (
    Camera,
    Card,
    CardArt,
    Colour,
    Finish,
    Kind,
    Light,
    Scene,
    Strip,
    Surface,
)

CardFor = Callable[[Kind, float, float], CardArt]
"""The card that a person would take: kind of surface, its diameter and its length in metres."""

THREADS_M = (0.13e-3, 0.19e-3, 0.26e-3, 0.36e-3, 0.50e-3)
"""Diameters of invented threads; each is flattened to gaps of 0.15 to 0.5 of its diameter."""


def draw_scene(
    *, seed: int, card_for: CardFor, width_px: int = 1600, height_px: int = 1200
) -> Scene:
    """A scene with one strip and one card, as somebody takes it who follows advice loosely."""
    g = np.random.default_rng((seed, 2026))
    surface = _surface(g)
    art = card_for(surface.kind, surface.diameter_m, surface.length_m)
    card_length_m = art.ink.shape[0] * art.pixel_m
    card_width_m = art.ink.shape[1] * art.pixel_m
    strip = _strip(g, surface, min(card_length_m, surface.length_m))
    middle = float(strip.centre_m[len(strip.centre_m) // 2])
    card = _card(g, surface, art, middle)
    focal = width_px * float(g.uniform(0.75, 1.5))
    fill = float(g.uniform(0.35, 0.85))  # how much of the picture's shorter side the card takes
    distance = focal * max(card_width_m, card_length_m) / (fill * min(width_px, height_px))
    tilt = abs(float(g.normal(0.0, math.radians(16.0))))
    camera = Camera(
        width_px=width_px,
        height_px=height_px,
        focal_px=focal,
        distance_m=distance,
        look_u_m=middle + float(g.normal(0.0, 1.0e-3)),
        look_z_m=float(g.normal(0.0, 1.0e-3)),
        tilt_rad=min(tilt, math.radians(55.0)),
        tilt_azimuth_rad=float(g.uniform(0.0, 2.0 * math.pi)),
        roll_rad=float(
            g.choice([0.0, 0.5 * math.pi, math.pi, -0.5 * math.pi]) + g.normal(0.0, 0.15)
        ),
        k1=float(g.normal(0.0, 0.03)),
        k2=float(g.normal(0.0, 0.01)),
    )
    return Scene(
        surface=surface,
        strips=(strip,),
        cards=(card,),
        camera=camera,
        lights=_lights(g),
        ambient=float(g.uniform(0.25, 0.7)),
        finish=_finish(g, seed),
    )


def _surface(g: np.random.Generator) -> Surface:
    kind = Kind(str(g.choice(["journal", "shell"], p=[0.65, 0.35])))
    metal = kind is Kind.JOURNAL
    grey = float(g.uniform(0.22, 0.5))
    warm = float(g.normal(0.0, 0.02))
    return Surface(
        kind=kind,
        diameter_m=float(g.uniform(0.034, 0.075)),
        length_m=float(g.uniform(0.020, 0.034)),
        colour=(grey + warm, grey, grey - warm),
        roughness_across=float(g.uniform(0.12, 0.3) if metal else g.uniform(0.25, 0.45)),
        roughness_along=float(g.uniform(0.03, 0.12) if metal else g.uniform(0.2, 0.4)),
        gloss=float(g.uniform(0.08, 0.4) if metal else g.uniform(0.02, 0.15)),
        mark_depth=float(g.uniform(0.03, 0.18)),
        scratches=int(g.integers(0, 40)),
        oil=float(g.choice([0.0, g.uniform(0.1, 0.45)])),
        seed=int(g.integers(1, 2**30)),
    )


def _strip(g: np.random.Generator, surface: Surface, room_m: float) -> Strip:
    thread = float(g.choice(THREADS_M))
    height = thread * float(g.uniform(0.15, 0.5))
    taper = float(g.normal(0.0, 0.06))
    length = room_m * float(g.uniform(0.75, 1.05))
    length = min(length, 0.96 * surface.length_m)
    z = np.linspace(-0.5 * length, 0.5 * length, 240)
    t = z / (0.5 * length)
    waves = g.normal(0.0, 0.015, 3)
    form = 1.0 + taper * t + sum(w * np.cos((k + 1) * math.pi * t) for k, w in enumerate(waves))
    heights = height / form
    pressed = math.pi * thread**2 / (4.0 * heights)
    bulge = float(g.uniform(0.05, 0.15))
    lean = float(g.normal(0.0, 0.02))
    bow = float(g.normal(0.0, 0.1e-3))
    hue, strength = float(g.uniform(0.0, 1.0)), float(g.uniform(0.3, 0.95))
    colour: Colour = colorsys.hsv_to_rgb(hue, strength, float(g.uniform(0.2, 0.9)))
    return Strip(
        stations_m=z,
        centre_m=float(g.normal(0.0, 0.6e-3)) + lean * z + bow * (t**2),
        width_m=pressed + 2.0 * bulge * heights,
        height_m=heights,
        colour=colour,
        opacity=float(g.uniform(0.55, 0.97)),
        gloss=float(g.uniform(0.01, 0.12)),
        bulge=bulge,
        rounding=float(g.uniform(0.15, 0.5)),
        ragged_m=float(g.uniform(2e-6, 15e-6)),
        ragged_wave_m=float(g.uniform(0.15e-3, 0.8e-3)),
        seed=int(g.integers(1, 2**30)),
    )


def _card(g: np.random.Generator, surface: Surface, art: CardArt, u_m: float) -> Card:
    paper = float(g.uniform(0.72, 0.92))
    tint = float(g.normal(0.0, 0.02))
    lifted = g.uniform() < 0.06
    return Card(
        art=art,
        thickness_m=float(g.uniform(0.08e-3, 0.25e-3)),
        u_m=u_m + float(g.normal(0.0, 0.3e-3)),
        z_m=float(g.normal(0.0, 0.4e-3)),
        turn_rad=float(g.normal(0.0, math.radians(1.5))),
        gap_m=float(abs(g.normal(0.0, 15e-6))),
        lift_per_m=float(g.uniform(4.0, 20.0)) if lifted else 0.0,
        lift_from_m=2.0e-3,
        paper=(paper + tint, paper, paper - tint),
        ink=(0.045, 0.045, 0.05),
    )


def _lights(g: np.random.Generator) -> tuple[Light, ...]:
    found = []
    for _ in range(int(g.integers(1, 4))):
        off, turn = float(g.uniform(0.1, 1.1)), float(g.uniform(0.0, 2.0 * math.pi))
        strength = float(g.uniform(0.2, 0.9))
        warm = float(g.normal(0.0, 0.08))
        found.append(
            Light(
                direction=(
                    math.sin(off) * math.cos(turn),
                    math.cos(off),
                    math.sin(off) * math.sin(turn),
                ),
                radius_rad=float(10.0 ** g.uniform(-1.3, -0.2)),
                strength=(strength * (1.0 + warm), strength, strength * (1.0 - warm)),
            )
        )
    return tuple(found)


def _finish(g: np.random.Generator, seed: int) -> Finish:
    return Finish(
        defocus_px=float(0.35 + g.gamma(1.6, 0.4)),
        motion_px=float(g.choice([0.0, g.gamma(1.5, 1.0)])),
        motion_rad=float(g.uniform(0.0, math.pi)),
        full_well=float(10.0 ** g.uniform(3.2, 4.3)),
        read_noise=float(g.uniform(2.0, 8.0)),
        white_balance=(
            float(g.uniform(0.85, 1.1)),
            1.0,
            float(g.uniform(0.8, 1.1)),
        ),
        exposure=float(g.uniform(0.7, 1.25)),
        sharpening=float(g.choice([0.0, g.uniform(0.2, 0.8)])),
        jpeg_quality=int(g.integers(78, 96)),
        seed=seed,
    )
