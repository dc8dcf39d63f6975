"""What is asked of a steady bearing as measured, in SI units."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.bearing import Bearing, Rupture, require_positive
from oilwedge.film.feed_place import Feed, FeedPlace
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.film_shape import FilmShape


@dataclass(frozen=True, kw_only=True, slots=True)
class ShapedCase:
    """What is asked for, but for the turn of the journal, as ``solve_shaped`` has it.

    OutOfRangeError for what no film goes with.
    """

    bearing: Bearing
    shape: FilmShape
    feed: FeedPlace
    viscosity_pa_s: float
    speed_rad_s: float
    load_n: float
    load_angle_rad: float
    rupture: Rupture
    grid: FilmGrid

    def __post_init__(self) -> None:
        require_positive(self.viscosity_pa_s, what="the viscosity", unit="Pa s")
        require_positive(self.speed_rad_s, what="the speed", unit="rad/s")
        require_positive(self.load_n, what="the load", unit="N")
        _require_fit(self.bearing, self.feed)
        _require_oil(self.feed, self.rupture)

    @property
    def pressure_unit_pa(self) -> float:
        """The unit of pressure μ ω (R/C)²."""
        slender = self.bearing.radius_m / self.bearing.radial_clearance_m
        return self.viscosity_pa_s * self.speed_rad_s * slender**2


def _require_fit(bearing: Bearing, feed: FeedPlace) -> None:
    if feed.width_m > 0.9 * bearing.width_m or feed.width_m > 0.5 * bearing.diameter_m:
        raise OutOfRangeError(
            Fault(
                given=f"a groove or hole of {feed.width_m * 1e3:g} mm",
                allowed=f"it has to leave lands on a bearing {bearing.width_m * 1e3:g} mm wide and"
                f" {bearing.diameter_m * 1e3:g} mm in diameter",
            )
        )


def _require_oil(feed: FeedPlace, rupture: Rupture) -> None:
    """Refuse what would run dry: oil that leaves at the ends has to come from somewhere."""
    if rupture is Rupture.REYNOLDS or feed.kind in (Feed.AXIAL, Feed.HALF, Feed.HOLE):
        return
    if feed.kind is Feed.NONE or feed.supply_pressure_pa == 0.0:
        raise OutOfRangeError(
            Fault(
                given=f"groove '{feed.kind.value}' at {feed.supply_pressure_pa / 1e5:g} bar",
                allowed="a steady film that conserves its oil runs dry unless a groove or hole, or"
                " supply pressure in a circumferential groove, replaces what leaves at the ends",
                action="give a supply pressure or choose another groove or Reynolds rupture",
            )
        )
