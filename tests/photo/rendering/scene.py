"""A scene: surface, strip, card, camera, light and what the picture suffers afterwards.

Places on a surface are (u, z) in metres: z along the axis, u the arc length round it, both 0 at the
middle of the picture's subject. Heights t count from the bare surface towards the camera. Angles
are radians. Colours are linear red, green and blue, 0 to 1.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

import numpy as np
from numpy.typing import NDArray

Colour = tuple[float, float, float]
Floats = NDArray[np.float64]


class Kind(Enum):
    """What the strip lies on."""

    JOURNAL = "journal"  # outside of a cylinder
    SHELL = "shell"  # inside of one
    FLAT = "flat"


@dataclass(frozen=True, kw_only=True, slots=True)
class Surface:
    """The part that the strip lies on, and its finish.

    ``roughness_across`` and ``roughness_along``: spread of its facets' slopes across and along the
    turning marks, which run round the axis. ``oil``: share of it that is wet. ``length_m`` along
    the axis; beyond it are the cheeks.
    """

    kind: Kind
    diameter_m: float
    length_m: float
    colour: Colour
    roughness_across: float
    roughness_along: float
    gloss: float
    mark_depth: float
    scratches: int
    oil: float
    seed: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Strip:
    """A flattened strip along the axis.

    At ``stations_m`` (n, along z, rising): ``centre_m`` its middle in u, ``width_m`` (n,) the
    width of its outline seen from straight above, ``height_m`` (n,) its thickness. The outline
    bulges beyond where it was pressed by ``bulge`` times the thickness on each side, and its upper
    edge is rounded over ``rounding`` times the thickness. ``ragged_m``: spread of each edge about
    that outline, with waves ``ragged_wave_m`` long. ``smear_m``: a thin wedge drawn out on one
    side, as by a shaft that turned. ``gaps``: stretches of z without strip.
    """

    stations_m: Floats
    centre_m: Floats
    width_m: Floats
    height_m: Floats
    colour: Colour
    opacity: float
    gloss: float
    bulge: float = 0.1
    rounding: float = 0.3
    ragged_m: float = 0.0
    ragged_wave_m: float = 0.4e-3
    smear_m: float = 0.0
    gaps: tuple[tuple[float, float], ...] = ()
    seed: int = 0


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class CardArt:
    """What is printed: ``ink`` (rows along z, columns along s) 0 paper to 1 black, even pixels.

    ``present`` is False where the card is cut away. Pixel (r, c) covers the square from
    (c, r) · pixel_m to (c + 1, r + 1) · pixel_m, counted from the art's corner; the art's middle
    is the card's origin. Row 0 lies at the smallest z, column 0 at the smallest s: with z
    down and u to the right the surface is seen from the camera's side, and nothing is mirrored.
    """

    ink: NDArray[np.float32]
    present: NDArray[np.bool_]
    pixel_m: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Card:
    """A printed card laid round the surface.

    ``scale_s``, ``scale_z``: the printer's true size over nominal. The middle of its thickness
    keeps its length as it bends. ``gap_m``: air under it; ``lift_per_m``: how it stands off beyond
    ``lift_from_m`` from its middle, growing with the square. ``turn_rad`` from z towards u.
    """

    art: CardArt
    thickness_m: float
    u_m: float
    z_m: float
    turn_rad: float
    scale_s: float = 1.0
    scale_z: float = 1.0
    gap_m: float = 0.0
    lift_per_m: float = 0.0
    lift_from_m: float = 0.0
    paper: Colour = (0.86, 0.86, 0.84)
    ink: Colour = (0.05, 0.05, 0.055)


@dataclass(frozen=True, kw_only=True, slots=True)
class Camera:
    """A pinhole with radial distortion that looks at a point of the surface.

    ``tilt_rad`` of its axis from the surface's normal there, towards ``tilt_azimuth_rad`` (from u
    towards z); ``roll_rad`` about its own axis. ``focal_px``; a point at the normalised radius r
    is drawn at r (1 + k1 r² + k2 r⁴).
    """

    width_px: int
    height_px: int
    focal_px: float
    distance_m: float
    look_u_m: float
    look_z_m: float
    tilt_rad: float
    tilt_azimuth_rad: float
    roll_rad: float
    k1: float = 0.0
    k2: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Light:
    """One lamp in a given direction (unit vector u, outwards, z) with an angular radius (rad)."""

    direction: tuple[float, float, float]
    radius_rad: float
    strength: Colour


@dataclass(frozen=True, kw_only=True, slots=True)
class Finish:
    """What the picture suffers: in pixels, shares, and electrons at full scale."""

    defocus_px: float = 0.6
    motion_px: float = 0.0
    motion_rad: float = 0.0
    full_well: float = 8000.0
    read_noise: float = 4.0
    white_balance: Colour = (1.0, 1.0, 1.0)
    exposure: float = 1.0
    sharpening: float = 0.0
    jpeg_quality: int = 90
    seed: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Scene:
    """Everything that makes one picture."""

    surface: Surface
    strips: tuple[Strip, ...]
    cards: tuple[Card, ...]
    camera: Camera
    lights: tuple[Light, ...]
    ambient: float
    finish: Finish = field(default_factory=Finish)
    samples: int = 2  # a side, in each pixel
