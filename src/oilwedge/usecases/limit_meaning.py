"""What a limit speaks of, where manuals differ: words that stand behind its figures."""

from __future__ import annotations

from oilwedge.engine.model import Fit, RunoutMeaning
from oilwedge.units import format_length


def limit_meaning(fit: Fit) -> str:
    """ "per 25 mm" of a taper limit, "as bend" of a run-out limit; empty where nothing differs.

    The length is given in the unit of the engine file, as it was written there.
    """
    if fit.meaning is RunoutMeaning.BEND:
        return "as bend, half of the total reading"
    if fit.per_length_m is None:
        return ""
    number, _, unit = format_length(value_m=fit.per_length_m, unit=fit.unit, decimals=4).partition(
        " "
    )
    return f"per {number.rstrip('0').rstrip('.')} {unit}"
