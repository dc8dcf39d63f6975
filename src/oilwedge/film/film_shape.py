"""The gap as measured: a journal and a bore that are neither round nor straight nor parallel.

The gap between a journal whose middle stands at (e_x, e_y) and its bearing is::

    h = C − e_x cos β − e_y sin β + change(β, z)

β counts in the direction of rotation from the x axis, which is fixed to the bearing; z along the
axis from the middle of the width towards the front. C is the **mean** radial clearance: every part
of the change has the mean 0 over the surface, so that a shape only moves clearance about.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError

Floats = NDArray[np.float64]

MOST_TILT_RAD = 0.01
"""Beyond half a degree a journal is bent or misplaced, not misaligned."""


@dataclass(frozen=True, kw_only=True, slots=True)
class FilmShape:
    """What departs from a round parallel gap; diametral in m, angles in rad.

    ``journal_taper_m``: diameter at the front end less that at the rear end of the width.
    ``journal_barrel_m``: diameter at the middle less the mean of the two ends; negative is an
    hourglass. ``journal_out_of_round_m``: largest less smallest diameter, taken as an oval;
    ``journal_high_angle_rad``: from the x axis to the largest diameter when the journal's turn is
    0. ``bore_relief_m``: diameter of the bore at the split less that at the crown (shells that
    thin out to the split), ``split_angle_rad``: from the x axis to one end of the split.
    ``tilt_x_rad``, ``tilt_y_rad``: how far the journal leans towards x and y for a metre towards
    the front. OutOfRangeError for what is not a number, a negative out-of-round and a tilt of more
    than 0.01 (half a degree).
    """

    journal_taper_m: float = 0.0
    journal_barrel_m: float = 0.0
    journal_out_of_round_m: float = 0.0
    journal_high_angle_rad: float = 0.0
    bore_relief_m: float = 0.0
    split_angle_rad: float = 0.5 * math.pi
    tilt_x_rad: float = 0.0
    tilt_y_rad: float = 0.0

    def __post_init__(self) -> None:
        for field in fields(self):
            if not math.isfinite(getattr(self, field.name)):
                raise OutOfRangeError(
                    Fault(
                        given=f"{field.name.rsplit('_', 1)[0].replace('_', ' ')} not a number",
                        allowed="every measure of the shape is a finite number",
                    )
                )
        if self.journal_out_of_round_m < 0.0:
            raise OutOfRangeError(
                Fault(
                    given=f"{self.journal_out_of_round_m * 1e6:g} µm out of round",
                    allowed="out-of-round is the largest less the smallest diameter, 0 or more",
                )
            )
        if max(abs(self.tilt_x_rad), abs(self.tilt_y_rad)) > MOST_TILT_RAD:
            raise OutOfRangeError(
                Fault(
                    given=f"a tilt of {self.tilt_x_rad:g} and {self.tilt_y_rad:g} m/m",
                    allowed=f"a journal leans by {MOST_TILT_RAD:g} m for each metre at most",
                    action="check the unit of the tilt",
                )
            )

    @property
    def is_round(self) -> bool:
        """Whether nothing departs from a round parallel gap."""
        return not (
            self.journal_taper_m
            or self.journal_barrel_m
            or self.journal_out_of_round_m
            or self.bore_relief_m
            or self.tilt_x_rad
            or self.tilt_y_rad
        )

    def gap_change_m(
        self, *, angle_rad: Floats, place_m: Floats, width_m: float, journal_turn_rad: float = 0.0
    ) -> Floats:
        """Give what the shape adds to the round gap C − e·n, in m; mean 0 over the surface.

        With ζ = 2z/L, a the turn of the journal, β_h its high angle, β_s the angle of the split::

            change = −taper ζ/4 − barrel (1/3 − ζ²)/2 − out-of-round cos 2(β − β_h − a)/4
                     + relief cos 2(β − β_s)/4 − (tilt_x cos β + tilt_y sin β) z

        ``angle_rad`` and ``place_m`` broadcast against each other; ``place_m`` counts from the
        middle towards the front, ``width_m`` is L.
        """
        angle, place = np.asarray(angle_rad), np.asarray(place_m)
        zeta = 2.0 * place / width_m
        return np.asarray(
            -0.25 * self.journal_taper_m * zeta
            - 0.5 * self.journal_barrel_m * (1.0 / 3.0 - zeta**2)
            + self.turning_gap_m(angle_rad=angle, journal_turn_rad=journal_turn_rad)
            + 0.25 * self.bore_relief_m * np.cos(2.0 * (angle - self.split_angle_rad))
            - (self.tilt_x_rad * np.cos(angle) + self.tilt_y_rad * np.sin(angle)) * place
        )

    def turning_gap_m(self, *, angle_rad: Floats, journal_turn_rad: float) -> Floats:
        """The part of the change that turns with the journal: that of its out-of-round."""
        high = self.journal_high_angle_rad + journal_turn_rad
        wave = np.cos(2.0 * (np.asarray(angle_rad) - high))
        return np.asarray(-0.25 * self.journal_out_of_round_m * wave)


ROUND = FilmShape()
"""The round, straight and parallel gap."""
