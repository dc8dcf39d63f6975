"""Distributions that an input of a Monte Carlo calculation may have (JCGM 101:2008, 6.4)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Normal:
    """Gaussian (JCGM 101, 6.4.7)."""

    mean: float
    standard_deviation: float

    def draw(self, *, generator: np.random.Generator, draws: int) -> NDArray[np.float64]:
        """Independent draws, shape (draws,)."""
        return generator.normal(self.mean, self.standard_deviation, draws)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rectangular:
    """Anywhere between the limits alike (JCGM 101, 6.4.2)."""

    low: float
    high: float

    def draw(self, *, generator: np.random.Generator, draws: int) -> NDArray[np.float64]:
        """Independent draws, shape (draws,)."""
        return generator.uniform(self.low, self.high, draws)


@dataclass(frozen=True, slots=True, kw_only=True)
class Triangular:
    """Between the limits, likeliest in their middle (JCGM 101, 6.4.5)."""

    low: float
    high: float

    def draw(self, *, generator: np.random.Generator, draws: int) -> NDArray[np.float64]:
        """Independent draws, shape (draws,)."""
        return generator.triangular(self.low, 0.5 * (self.low + self.high), self.high, draws)


@dataclass(frozen=True, slots=True, kw_only=True)
class Arcsine:
    """A swing to and fro between the limits, seen at any moment (JCGM 101, 6.4.6)."""

    low: float
    high: float

    def draw(self, *, generator: np.random.Generator, draws: int) -> NDArray[np.float64]:
        """Independent draws, shape (draws,)."""
        import numpy as np

        phase = generator.uniform(0.0, 2.0 * math.pi, draws)
        middle, half = 0.5 * (self.low + self.high), 0.5 * (self.high - self.low)
        return np.asarray(middle + half * np.sin(phase), dtype=np.float64)


Distribution = Normal | Rectangular | Triangular | Arcsine
