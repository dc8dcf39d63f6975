"""The clearance of a bearing as it runs, from its cold one: what the heat opens or closes.

Every part grows freely with its own temperature T over 20 °C (ISO 1, RECALLED)::

    c_hot = c + (D + 2w) α_h (T_h − 20) − 2w α_s (T_h − 20) − D α_j (T_j − 20)

housing bore grown, less two shell walls w grown (the shell is as warm as its housing), less the
journal grown. c is diametral, D the journal's diameter. Free growth: a steel shell, an iron cap on
an aluminium block, bolts and the press fit all hold back a housing, so that a light-alloy bearing
opens by less. Temperatures of the parts count from that of the oil as supplied.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

REFERENCE_C = 20.0


@dataclass(frozen=True, kw_only=True, slots=True)
class HotFit:
    """What a bearing's parts are made of and how warm they run.

    Expansions α in 1/K of journal, housing and shell; ``shell_wall_m`` the thickness w of one wall
    in m (0: the journal runs in the housing itself); ``*_over_oil_k``: the part's temperature less
    that of the supplied oil, in K.
    """

    journal_expansion_per_k: float
    housing_expansion_per_k: float
    shell_expansion_per_k: float
    shell_wall_m: float
    journal_over_oil_k: float
    housing_over_oil_k: float


def hot_clearance_m(
    *,
    cold_clearance_m: ArrayLike,
    diameter_m: float,
    fit: HotFit,
    oil_temperature_c: ArrayLike,
) -> NDArray[np.float64]:
    """The diametral clearance in m at the temperatures of running; shapes broadcast.

    ``cold_clearance_m``: diametral, at 20 °C; ``oil_temperature_c``: of the supplied oil. May come
    out at 0 or less: then the bearing has no clearance when hot, which the caller has to say.
    """
    over_20 = np.asarray(oil_temperature_c, dtype=np.float64) - REFERENCE_C
    housing, journal = over_20 + fit.housing_over_oil_k, over_20 + fit.journal_over_oil_k
    walls_m = 2.0 * fit.shell_wall_m
    bore_m = (diameter_m + walls_m) * fit.housing_expansion_per_k * housing
    shells_m = walls_m * fit.shell_expansion_per_k * housing
    journal_m = diameter_m * fit.journal_expansion_per_k * journal
    return np.asarray(
        np.asarray(cold_clearance_m, dtype=np.float64) + bore_m - shells_m - journal_m
    )
