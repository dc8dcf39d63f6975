"""Whether the kernels of a solution are compiled already, so that a face can ask for patience."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from oilwedge.film import reynolds
from oilwedge.film.bearing import Groove, Rupture


def is_compiled(*, groove: Groove, rupture: Rupture) -> bool:
    """Tell whether numba's cache holds the kernels that this film needs, at least as new as they.

    A cache for another processor or another numba counts too: then the wait comes unannounced.
    """
    between = groove is Groove.AXIAL and rupture is Rupture.REYNOLDS
    kernel: Any = reynolds.reynolds_between_lines if between else reynolds.rupture_on_ring
    written = Path(reynolds.__file__).stat().st_mtime
    indexes = Path(kernel.stats.cache_path).glob(f"reynolds.{kernel.__name__}-*.nbi")
    return any(index.stat().st_mtime >= written for index in indexes)
