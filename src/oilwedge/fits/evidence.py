"""What was measured of one fit, as the verdict takes it."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.uncertainty.quantity import Quantity


@dataclass(frozen=True, kw_only=True, slots=True)
class Evidence:
    """What was measured of the fit, in metres.

    ``smallest`` is its tightest place and ``largest`` its loosest, both from the fitted form.
    One-sided readings bound the loosest place from below (``at_least_m``), the tightest from above
    (``at_most_m``), and, where they do so at every place, the whole fit (``everywhere_…``).
    ``hidden_form_m`` is what the plan may hide of a form that it shows to be large: it takes no
    part in the values, but nothing is proved inside a limit that it reaches over.
    """

    mean: Quantity | None = None
    smallest: Quantity | None = None
    largest: Quantity | None = None
    at_least_m: float | None = None
    at_most_m: float | None = None
    everywhere_at_least_m: float | None = None
    everywhere_at_most_m: float | None = None
    hidden_form_m: float = 0.0

    @property
    def contradicts_itself(self) -> bool:
        """Whether one-sided readings exclude each other: at least more than it is at most."""
        low_m, high_m = self.everywhere_at_least_m, self.everywhere_at_most_m
        return low_m is not None and high_m is not None and low_m > high_m

    @property
    def empty(self) -> bool:
        """Whether nothing at all is known."""
        return self.mean is None and self.at_least_m is None and self.at_most_m is None
