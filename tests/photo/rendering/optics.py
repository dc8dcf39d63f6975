"""Where things are: the surface in space, the camera, and the way between place and pixel."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from .scene import Camera, Kind, Scene, Surface

Floats = NDArray[np.float64]

# space: x tangential, y outwards from the surface, z axial; the surface at (u, z) = 0 is the origin


def bend_of(surface: Surface) -> float:
    """1/R with sign: above 0 for a journal, under 0 for a shell, 0 for a flat."""
    sign = {Kind.JOURNAL: 1.0, Kind.SHELL: -1.0, Kind.FLAT: 0.0}[surface.kind]
    return sign * 2.0 / surface.diameter_m


def point_at(surface: Surface, u: float, z: float, t: float) -> Floats:
    """The point in space over the place (u, z) at the height t."""
    bend = bend_of(surface)
    if bend == 0.0:
        return np.array([u, t, z])
    angle = u * bend
    radius = 1.0 / bend + t
    return np.array([radius * math.sin(angle), radius * math.cos(angle) - 1.0 / bend, z])


def normal_at(surface: Surface, u: float) -> Floats:
    """The direction towards the camera's side, square to the surface."""
    angle = u * bend_of(surface)
    return np.array([math.sin(angle), math.cos(angle), 0.0])


def axes_of(camera: Camera, surface: Surface) -> tuple[Floats, Floats]:
    """The camera's place and its axes as rows: right, down, forward."""
    target = point_at(surface, camera.look_u_m, camera.look_z_m, 0.0)
    up = normal_at(surface, camera.look_u_m)
    along_u = np.array([up[1], -up[0], 0.0])
    along_z = np.array([0.0, 0.0, 1.0])
    side = math.cos(camera.tilt_azimuth_rad) * along_u + math.sin(camera.tilt_azimuth_rad) * along_z
    outwards = math.cos(camera.tilt_rad) * up + math.sin(camera.tilt_rad) * side
    place = target + camera.distance_m * outwards
    forward = -outwards
    # with no roll, z points down in the picture and u to the right
    helper = along_z - forward * (forward @ along_z)
    down = helper / np.linalg.norm(helper)
    right = np.cross(down, forward)
    c, s = math.cos(camera.roll_rad), math.sin(camera.roll_rad)
    return place, np.array([c * right + s * down, -s * right + c * down, forward])


def pixel_of(scene: Scene, u: float, z: float, t: float) -> tuple[float, float]:
    """Where a place is drawn: column and row, pixel centres at whole numbers."""
    camera = scene.camera
    place, axes = axes_of(camera, scene.surface)
    x, y, w = axes @ (point_at(scene.surface, u, z, t) - place)
    a, b = x / w, y / w
    r2 = a * a + b * b
    stretch = 1.0 + camera.k1 * r2 + camera.k2 * r2 * r2
    return (
        camera.focal_px * a * stretch + 0.5 * (camera.width_px - 1),
        camera.focal_px * b * stretch + 0.5 * (camera.height_px - 1),
    )


def pixels_per_metre(scene: Scene, u: float, z: float) -> float:
    """How many pixels a metre across the strip (along u) covers at a place."""
    step = 1e-5
    left, right = pixel_of(scene, u - step, z, 0.0), pixel_of(scene, u + step, z, 0.0)
    return math.hypot(right[0] - left[0], right[1] - left[1]) / (2.0 * step)


def view_angle_rad(scene: Scene, u: float, z: float) -> float:
    """Between the sight line and the surface's normal at a place."""
    place, _ = axes_of(scene.camera, scene.surface)
    sight = place - point_at(scene.surface, u, z, 0.0)
    return math.acos(float(sight @ normal_at(scene.surface, u)) / float(np.linalg.norm(sight)))
