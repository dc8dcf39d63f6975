"""The compiled part: which place each ray meets, and how bright it is there.

A ray is followed through the thin layer that strip and cards fill, then met with the surface. Where
marks are turned, facets lean mostly across them, so that a lamp draws a bright band along the axis
of a journal and sparkles along single marks. Nothing here knows how a picture is read.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@njit(cache=True, inline="always")
def _hash(ix: int, iy: int, seed: int) -> float:
    """A number from 0 to 1 for a lattice point, the same each time."""
    h = np.uint32(ix) * np.uint32(374761393) + np.uint32(iy) * np.uint32(668265263)
    h = h + np.uint32(seed) * np.uint32(362437)
    h = (h ^ (h >> np.uint32(13))) * np.uint32(1274126177)
    h = h ^ (h >> np.uint32(16))
    return float(h & np.uint32(0xFFFFFF)) / 16777215.0


@njit(cache=True)
def noise(x: float, y: float, seed: int) -> float:
    """Smooth noise over a unit lattice, -1 to 1."""
    x0, y0 = math.floor(x), math.floor(y)
    fx, fy = x - x0, y - y0
    fx = fx * fx * (3.0 - 2.0 * fx)
    fy = fy * fy * (3.0 - 2.0 * fy)
    ix, iy = int(x0), int(y0)
    a = _hash(ix, iy, seed) * (1.0 - fx) + _hash(ix + 1, iy, seed) * fx
    b = _hash(ix, iy + 1, seed) * (1.0 - fx) + _hash(ix + 1, iy + 1, seed) * fx
    return 2.0 * (a * (1.0 - fy) + b * fy) - 1.0


@njit(cache=True)
def _strip_at(u: float, z: float, table: Floats, numbers: Floats) -> tuple[float, float, float]:
    """Height of a strip at a place, its cover (0 to 1), and the slope of its upper side in u.

    table (n, 5): z, middle, half width left, half width right, thickness; even steps.
    numbers: bulge, rounding, smear, first gap from, to, second gap from, to, least and most u.
    """
    if u < numbers[7] or u > numbers[8]:
        return 0.0, 0.0, 0.0
    n = table.shape[0]
    place = (z - table[0, 0]) / (table[n - 1, 0] - table[0, 0]) * (n - 1)
    if place < 0.0 or place > n - 1:
        return 0.0, 0.0, 0.0
    if numbers[3] < z < numbers[4] or numbers[5] < z < numbers[6]:
        return 0.0, 0.0, 0.0
    k = min(int(place), n - 2)
    part = place - k
    middle = table[k, 1] + (table[k + 1, 1] - table[k, 1]) * part
    left = table[k, 2] + (table[k + 1, 2] - table[k, 2]) * part
    right = table[k, 3] + (table[k + 1, 3] - table[k, 3]) * part
    height = table[k, 4] + (table[k + 1, 4] - table[k, 4]) * part
    x = u - middle
    half = right if x > 0.0 else left
    side = 1.0 if x > 0.0 else -1.0
    depth = half - abs(x)  # inside the outline
    if depth < 0.0:
        smear = numbers[2]
        if side > 0.0 and smear > 0.0 and -depth < smear:
            rest = 1.0 + depth / smear
            return 0.25 * height * rest, 0.8 * rest, -0.25 * height / smear
        return 0.0, 0.0, 0.0
    round_m = (numbers[0] + numbers[1]) * height
    if depth >= round_m:
        return height, 1.0, 0.0
    rest = 1.0 - depth / round_m
    lift = math.sqrt(max(1.0 - rest * rest, 0.0))
    # the lower half of the bulge is under the upper one, unseen: the outline stands at half height
    return height * (0.5 + 0.5 * lift), 1.0, -side * 0.5 * height / round_m * rest / max(lift, 0.15)


@njit(cache=True)
def card_at(
    u: float, z: float, numbers: Floats, present: NDArray[np.bool_]
) -> tuple[float, float, float]:
    """Height of a card's upper side at a place (0 where there is none), and its art's column, row.

    numbers: u, z, cos, sin, scale s, scale z, pixel size, gap, thickness, lift, from, stretch of s,
    rows, columns.
    """
    du, dz = u - numbers[0], z - numbers[1]
    du *= numbers[11]  # arc on the surface to length of the card's middle
    s = numbers[2] * du + numbers[3] * dz
    w = numbers[2] * dz - numbers[3] * du
    rows, columns = int(numbers[12]), int(numbers[13])
    column = s / numbers[4] / numbers[6] + 0.5 * columns
    row = w / numbers[5] / numbers[6] + 0.5 * rows
    if column < 0.0 or row < 0.0 or column >= columns or row >= rows:
        return 0.0, 0.0, 0.0
    if not present[int(row), int(column)]:
        return 0.0, 0.0, 0.0
    off = max(0.0, abs(s) - numbers[10])
    return numbers[7] + numbers[8] + numbers[9] * off * off, column, row


@njit(cache=True)
def _height(
    u: float, z: float, strips: Floats, strip_numbers: Floats,
    card_numbers: Floats, presents: NDArray[np.bool_],
) -> float:  # fmt: skip
    top = 0.0
    for k in range(strips.shape[0]):
        h, _, _ = _strip_at(u, z, strips[k], strip_numbers[k])
        top = max(top, h)
    for k in range(card_numbers.shape[0]):
        h, _, _ = card_at(u, z, card_numbers[k], presents[k])
        top = max(top, h)
    return top


@njit(cache=True)
def _meet(
    px: float, py: float, pz: float, dx: float, dy: float, dz: float, bend: float, t: float
) -> tuple[bool, float]:
    """The way along a ray to the layer at the height t, from the camera's side."""
    if bend == 0.0:
        if dy >= 0.0:
            return False, 0.0
        return True, (t - py) / dy
    radius = abs(1.0 / bend + t)
    cy = py + 1.0 / bend
    a = dx * dx + dy * dy
    b = px * dx + cy * dy
    c = px * px + cy * cy - radius * radius
    root = b * b - a * c
    if root < 0.0:
        return False, 0.0
    way = (-b - math.sqrt(root)) / a if bend > 0.0 else (-b + math.sqrt(root)) / a
    return way > 0.0, way


@njit(cache=True)
def _place(
    px: float, py: float, pz: float, dx: float, dy: float, dz: float, bend: float, way: float
) -> tuple[float, float, float]:
    """u, z and height of the point at a way along the ray."""
    x, y, z = px + way * dx, py + way * dy, pz + way * dz
    if bend == 0.0:
        return x, z, y
    if bend > 0.0:
        angle = math.atan2(x, y + 1.0 / bend)
        return angle / bend, z, math.hypot(x, y + 1.0 / bend) - 1.0 / bend
    # shell: the axis stands above; angles count from straight below it
    angle = math.atan2(x, -(y + 1.0 / bend))
    return -angle / bend, z, -1.0 / bend - math.hypot(x, y + 1.0 / bend)


@njit(cache=True)
def _facets(u: float, z: float, surface: Floats, seed: int) -> tuple[float, float, float]:
    """How the surface leans at a place (in u, in z), and how dark it is: marks, scratches apart."""
    fine = noise(z * 9000.0, u * 120.0, seed) + 0.6 * noise(z * 23000.0, u * 260.0, seed + 1)
    wave = noise(z * 1500.0, u * 25.0, seed + 2)
    lean_z = surface[6] * (0.5 * fine + 0.5 * wave)
    lean_u = surface[5] * noise(z * 2500.0, u * 900.0, seed + 3)
    dark = 1.0 + surface[8] * (0.5 * fine + 0.7 * wave + 0.5 * noise(z * 300.0, u * 60.0, seed + 4))
    return lean_u, lean_z, dark


@njit(cache=True)
def _lobe(
    nu: float, nn: float, nz: float, lean_u: float, lean_z: float,
    su: float, sn: float, sz: float, lu: float, ln: float, lz: float,
    rough_u: float, rough_z: float,
) -> float:  # fmt: skip
    """A lobe about the mirror direction, wide as the facets' slopes (after Ward)."""
    hu, hn, hz = su + lu, sn + ln, sz + lz
    size = math.sqrt(hu * hu + hn * hn + hz * hz)
    hu, hn, hz = hu / size, hn / size, hz / size
    # in axes of the place: along u, outwards, along z
    across = hu * nn - hn * nu
    up = hu * nu + hn * nn
    if up <= 0.02:
        return 0.0
    a, b = (across / up - lean_u) / rough_u, (hz / up - lean_z) / rough_z
    power = a * a + b * b
    if power > 40.0:
        return 0.0
    return math.exp(-power) / (4.0 * rough_u * rough_z + 0.02)


@njit(cache=True)
def _shadow(
    u: float, z: float, t: float, lu: float, ln: float, lz: float, top: float,
    strips: Floats, strip_numbers: Floats,
    card_numbers: Floats, presents: NDArray[np.bool_],
) -> float:  # fmt: skip
    """1 where the lamp is seen from a place, towards 0 where a strip or a card stands before it."""
    if ln < 0.05:
        return 0.0
    blocked = 0.0
    for k in range(1, 7):
        rise = (top - t) * k / 6.0
        h = _height(
            u + lu / ln * rise, z + lz / ln * rise, strips, strip_numbers, card_numbers, presents
        )
        if h > t + rise + 1e-9:
            blocked += 1.0 / 3.0
    return max(0.0, 1.0 - blocked)


@njit(cache=True, parallel=True)
def paint(
    width: int, height: int, samples: int, camera: Floats, place: Floats, axes: Floats,
    surface: Floats, seed: int, scratches: Floats,
    strips: Floats, strip_numbers: Floats, strip_colours: Floats,
    card_numbers: Floats, presents: NDArray[np.bool_],
    inks: NDArray[np.float32], card_colours: Floats,
    lamps: Floats, ambient: float,
) -> Floats:  # fmt: skip
    """Linear light of every pixel, (height, width, 3).

    camera: focal length, k1, k2. surface: bend, half length, red, green, blue, roughness along u,
    along z, gloss, depth of marks, oil. lamps (k, 7): direction u, n, z, radius, strength.
    """
    image = np.zeros((height, width, 3))
    top = 1e-6
    for k in range(strips.shape[0]):
        top = max(top, strips[k][:, 4].max())
    for k in range(card_numbers.shape[0]):
        n = card_numbers[k]
        reach = max(0.0, 0.5 * n[13] * n[6] * n[4] - n[10])
        top = max(top, n[7] + n[8] + n[9] * reach * reach)
    bend = surface[0]
    for i in prange(height):
        out = np.zeros(3)
        for j in range(width):
            out[:] = 0.0
            for q in range(samples * samples):
                sub_x = (q % samples + 0.5) / samples - 0.5
                sub_y = (q // samples + 0.5) / samples - 0.5
                a = (j + sub_x - 0.5 * (width - 1)) / camera[0]
                b = (i + sub_y - 0.5 * (height - 1)) / camera[0]
                x, y = a, b
                for _ in range(6):  # undo the distortion
                    r2 = x * x + y * y
                    stretch = 1.0 + camera[1] * r2 + camera[2] * r2 * r2
                    x, y = a / stretch, b / stretch
                dx = x * axes[0, 0] + y * axes[1, 0] + axes[2, 0]
                dy = x * axes[0, 1] + y * axes[1, 1] + axes[2, 1]
                dz = x * axes[0, 2] + y * axes[1, 2] + axes[2, 2]
                _add_sample(
                    place[0], place[1], place[2], dx, dy, dz, bend, top, surface, seed, scratches,
                    strips, strip_numbers, strip_colours, card_numbers, presents, inks,
                    card_colours, lamps, ambient, out,
                )  # fmt: skip
            for c in range(3):
                image[i, j, c] = out[c] / (samples * samples)
    return image


@njit(cache=True)
def _near_something(
    u: float, z: float, v: float, w: float,
    strip_numbers: Floats, strips: Floats, card_numbers: Floats,
) -> bool:  # fmt: skip
    """Whether a ray between two places of the layer can meet a strip or a card in it."""
    low_u, high_u, low_z, high_z = min(u, v), max(u, v), min(z, w), max(z, w)
    for k in range(strips.shape[0]):
        n = strip_numbers[k]
        last = strips.shape[1] - 1
        beside = high_u < n[7] or low_u > n[8]
        if not beside and high_z >= strips[k, 0, 0] and low_z <= strips[k, last, 0]:
            return True
    for k in range(card_numbers.shape[0]):
        n = card_numbers[k]
        reach = 0.5 * math.hypot(n[12] * n[5], n[13] * n[4]) * n[6] * 1.02
        du = max(low_u - n[0], n[0] - high_u, 0.0)
        dz = max(low_z - n[1], n[1] - high_z, 0.0)
        if du * du + dz * dz < reach * reach:
            return True
    return False


@njit(cache=True)
def _add_sample(  # noqa: PLR0915 -- one ray in one pass: parts would hand on twenty values
    px: float, py: float, pz: float, dx: float, dy: float, dz: float, bend: float, top: float,
    surface: Floats, seed: int, scratches: Floats,
    strips: Floats, strip_numbers: Floats, strip_colours: Floats,
    card_numbers: Floats, presents: NDArray[np.bool_],
    inks: NDArray[np.float32], card_colours: Floats,
    lamps: Floats, ambient: float, out: Floats,
) -> None:  # fmt: skip
    length = math.sqrt(dx * dx + dy * dy + dz * dz)
    dx, dy, dz = dx / length, dy / length, dz / length
    met, far = _meet(px, py, pz, dx, dy, dz, bend, 0.0)
    met_top, near = _meet(px, py, pz, dx, dy, dz, bend, top)
    if not met:
        _backdrop(dx, dy, dz, seed, ambient, out)
        return
    u, z, t = _place(px, py, pz, dx, dy, dz, bend, far)
    nu_, nz_, _ = _place(px, py, pz, dx, dy, dz, bend, near) if met_top else (u, z, t)
    if met_top and _near_something(u, z, nu_, nz_, strip_numbers, strips, card_numbers):
        # walk down through the layer; then halve to the first upper side that is met
        before = near
        for k in range(1, 9):
            way = near + (far - near) * k / 8.0
            ku, kz, kt = _place(px, py, pz, dx, dy, dz, bend, way)
            if kt <= _height(ku, kz, strips, strip_numbers, card_numbers, presents):
                low, high = before, way
                for _ in range(7):
                    middle = 0.5 * (low + high)
                    ku, kz, kt = _place(px, py, pz, dx, dy, dz, bend, middle)
                    if kt <= _height(ku, kz, strips, strip_numbers, card_numbers, presents):
                        high = middle
                    else:
                        low = middle
                u, z, t = _place(px, py, pz, dx, dy, dz, bend, high)
                break
            before = way
    if abs(z) > surface[1]:
        _cheek(u, z, seed, ambient, out)
        return
    angle = u * bend
    nu, nn = math.sin(angle), math.cos(angle)
    lean_u, lean_z, dark = _facets(u, z, surface, seed)
    rough_u, rough_z = surface[5], surface[6]
    gloss = surface[7]
    red, green, blue = surface[2] * dark, surface[3] * dark, surface[4] * dark
    # oil lies in pools with thin rims; in them its own smooth side mirrors, not the marks
    wet = (surface[9] - (0.5 + 0.5 * noise(u * 160.0, z * 160.0, seed + 9))) / 0.05
    if wet > 0.0:
        wet = min(wet, 1.0)
        red, green, blue = (
            (1.0 - 0.25 * wet) * red,
            (1.0 - 0.28 * wet) * green,
            (1.0 - 0.38 * wet) * blue,
        )
        rough_u += (0.06 - rough_u) * wet
        rough_z += (0.06 - rough_z) * wet
        gloss += (0.25 - 0.5 * gloss) * wet
        lean_u += (0.05 * noise(u * 400.0, z * 400.0, seed + 10) - lean_u) * wet
        lean_z += (0.05 * noise(u * 400.0, z * 400.0, seed + 11) - lean_z) * wet
    for k in range(scratches.shape[0]):
        s = scratches[k]
        along = (u - s[0]) * s[2] + (z - s[1]) * s[3]
        across = abs((z - s[1]) * s[2] - (u - s[0]) * s[3])
        if across < s[5] and abs(along) < s[4]:
            lean_u += s[6]
            lean_z += s[7]
            red, green, blue = red * s[8], green * s[8], blue * s[8]
    # what lies on it
    for k in range(strips.shape[0]):
        h, cover, slope = _strip_at(u, z, strips[k], strip_numbers[k])
        if cover > 0.0 and t <= h + 2e-6:
            colour = strip_colours[k]
            solid = cover * (1.0 - (1.0 - colour[3]) ** (h / 50e-6))
            grain = 1.0 + 0.06 * noise(u * 6000.0, z * 6000.0, seed + 20 + k)
            red = red * (1.0 - solid) + colour[0] * grain * solid
            green = green * (1.0 - solid) + colour[1] * grain * solid
            blue = blue * (1.0 - solid) + colour[2] * grain * solid
            lean_u = slope + 0.04 * noise(u * 5000.0, z * 2500.0, seed + 30 + k)
            lean_z = 0.04 * noise(u * 2500.0, z * 5000.0, seed + 40 + k)
            rough_u, rough_z, gloss = 0.18, 0.18, colour[4]
    for k in range(card_numbers.shape[0]):
        h, column, row = card_at(u, z, card_numbers[k], presents[k])
        if h > 0.0 and t <= h + 2e-6:
            ink = _ink(inks[k], column, row)
            colour = card_colours[k]
            fibre = 1.0 + 0.03 * noise(u * 8000.0, z * 8000.0, seed + 50 + k)
            red = (colour[0] * (1.0 - ink) + colour[3] * ink) * fibre
            green = (colour[1] * (1.0 - ink) + colour[4] * ink) * fibre
            blue = (colour[2] * (1.0 - ink) + colour[5] * ink) * fibre
            lean_u, lean_z, rough_u, rough_z = 0.0, 0.0, 0.4, 0.4
            gloss = 0.02 + 0.03 * ink
    su, sn, sz = -dx, -dy, -dz
    # ambient: brighter from above, mirrored softly by what is bright metal
    sky = ambient * (0.7 + 0.3 * nn)
    mirror = ambient * gloss * (0.6 + 0.5 * noise(lean_u * 3.0 + u * 30.0, lean_z * 3.0, seed + 60))
    r, g, b = red * (sky + mirror), green * (sky + mirror), blue * (sky + mirror)
    for k in range(lamps.shape[0]):
        lamp = lamps[k]
        lu, ln, lz = lamp[0], lamp[1], lamp[2]
        facing = lu * nu + ln * nn
        if facing <= 0.0:
            continue
        # towards the lamp in axes of the place
        seen = _shadow(
            u, z, t, lu * nn - ln * nu, facing, lz, top,
            strips, strip_numbers, card_numbers, presents,
        )  # fmt: skip
        if seen <= 0.0:
            continue
        # a lean turns the diffuse light a little too
        lit = max(0.0, facing + (lu * nn - ln * nu) * lean_u + lz * lean_z)
        wide_u = math.sqrt(rough_u * rough_u + lamp[3] * lamp[3])
        wide_z = math.sqrt(rough_z * rough_z + lamp[3] * lamp[3])
        shine = gloss * _lobe(
            nu, nn, 0.0, lean_u, lean_z, su, sn, sz, lu, ln, lz, wide_u, wide_z
        )  # fmt: skip
        r += seen * lamp[4] * (red * lit + shine * (0.3 + 0.7 * red))
        g += seen * lamp[5] * (green * lit + shine * (0.3 + 0.7 * green))
        b += seen * lamp[6] * (blue * lit + shine * (0.3 + 0.7 * blue))
    out[0] += r
    out[1] += g
    out[2] += b


@njit(cache=True)
def _ink(art: NDArray[np.float32], column: float, row: float) -> float:
    """Ink at a place of the art, straight between the middles of its pixels."""
    x = min(max(column - 0.5, 0.0), art.shape[1] - 1.001)
    y = min(max(row - 0.5, 0.0), art.shape[0] - 1.001)
    i, j = int(y), int(x)
    fx, fy = x - j, y - i
    return float(
        (art[i, j] * (1.0 - fx) + art[i, j + 1] * fx) * (1.0 - fy)
        + (art[i + 1, j] * (1.0 - fx) + art[i + 1, j + 1] * fx) * fy
    )


@njit(cache=True)
def _backdrop(dx: float, dy: float, dz: float, seed: int, ambient: float, out: Floats) -> None:
    """Past the part: something dark and blurred."""
    value = (
        0.12
        + 0.08 * noise(dx * 7.0, dz * 7.0, seed + 70)
        + 0.05 * noise(dx * 31.0, dz * 31.0, seed + 71)
    )
    out[0] += ambient * value
    out[1] += ambient * value * 0.95
    out[2] += ambient * value * 0.9


@njit(cache=True)
def _cheek(u: float, z: float, seed: int, ambient: float, out: Floats) -> None:
    """Beside the journal or shell: rough, dark metal."""
    value = (
        0.16
        + 0.06 * noise(u * 700.0, z * 700.0, seed + 80)
        + 0.05 * noise(u * 90.0, z * 90.0, seed + 81)
    )
    out[0] += ambient * value
    out[1] += ambient * value
    out[2] += ambient * value * 1.03
