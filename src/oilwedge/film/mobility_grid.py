"""Where the nodes of a mobility map lie, and the norm that its values are written against.

A map is written over two uniform coordinates::

    s = −ln(1 − ε)                            from 0 in steps of STEP_S
    γ = 2 atan(tan(β/2)/k)                    from 0 to π, with k = ((1 − ε)/(1 + ε))^(1/4)

ε the eccentricity ratio, β the angle from the load to the line of centres. Both draw out the region
near the wall and near the load, where the mobility changes fast. What is written is smooth there:
the logarithm of the mobility along and across the load, over the published closed form for a short
bearing (ξ = ε cos β, η = ε sin β)::

    M_ξ = (D/L)² (1 − ξ)^(5/2)/π · exp(a)
    M_η = −(D/L)² (4/π²) η (1 − ξ)^(3/2) · exp(b)

and the logarithm c of the peak pressure over the load on the projected area, p L D/F.

Source of the closed form: J. F. Booker, J. Basic Engineering 87, 1965 (RECALLED).
"""

from __future__ import annotations

import math
from typing import Final

STEP_S: Final = 0.25
NODES_S: Final = 26
NODES_G: Final = 33
STEP_G: Final = math.pi / (NODES_G - 1)
WIDTH_RATIOS: Final = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.65, 0.8, 1.0, 1.25, 1.6)
LARGEST_ECCENTRICITY: Final = 0.998  # of the map; its last node lies at 0.99807


def eccentricity_at(node: int) -> float:
    """The eccentricity ratio of a node of s."""
    return -math.expm1(-STEP_S * node)


def load_angle_at(*, node: int, eccentricity_ratio: float) -> float:
    """The angle β [rad] of a node of γ."""
    squeeze = ((1.0 - eccentricity_ratio) / (1.0 + eccentricity_ratio)) ** 0.25
    half = 0.5 * STEP_G * node
    return 2.0 * math.atan2(squeeze * math.sin(half), math.cos(half))


def node_angle(*, load_angle_rad: float, eccentricity_ratio: float) -> float:
    """The coordinate γ [rad] of an angle β: the inverse of :func:`load_angle_at`."""
    squeeze = ((1.0 - eccentricity_ratio) / (1.0 + eccentricity_ratio)) ** 0.25
    half = 0.5 * load_angle_rad
    return 2.0 * math.atan2(math.sin(half), squeeze * math.cos(half))
