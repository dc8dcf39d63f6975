"""What a grade alone says of an oil: not one viscosity but a band.

The grade limits the kinematic viscosity at one temperature (SAE J300: 100 °C; ISO 3448: 40 °C) and
the viscosity in fast shear at 150 °C. How steeply it falls, and its density, no grade says: the
usual spread of both is taken (common practice, no source). The band is what the oils in the corners
of all these ranges span, so it is typical and not guaranteed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import product

from oilwedge.errors import Fault, InputError
from oilwedge.film.oil import Oil
from oilwedge.film.viscosity_index import at_40c_from_index_m2_s
from oilwedge.tables.oil_grades import EngineGrade, IsoGrade, Span, usual_oil

_HALVINGS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class OilBand:
    """Oils that span what a name may mean; one alone where a data sheet was given.

    ``measured`` says that the values are a data sheet's and not a grade's limits. SI units,
    temperatures in °C.
    """

    name: str
    oils: tuple[Oil, ...]
    measured: bool

    def span(self, value: Callable[[Oil], float]) -> Span:
        """Lowest and highest of a property over the oils, in the unit of that property."""
        values = [value(oil) for oil in self.oils]
        return Span(low=min(values), high=max(values))

    def dynamic_viscosity_pa_s(
        self, temperature_c: float, *, shear_rate_per_s: float = 0.0
    ) -> Span:
        """Lowest and highest η in Pa s at this temperature and shear rate."""
        return self.span(
            lambda oil: oil.dynamic_viscosity_pa_s(temperature_c, shear_rate_per_s=shear_rate_per_s)
        )

    def thinnest(self, temperature_c: float, *, shear_rate_per_s: float = 0.0) -> Oil:
        """The oil of the band that is thinnest at this temperature and shear rate."""
        return min(self.oils, key=lambda oil: _eta(oil, temperature_c, shear_rate_per_s))

    def thickest(self, temperature_c: float, *, shear_rate_per_s: float = 0.0) -> Oil:
        """The oil of the band that is thickest at this temperature and shear rate."""
        return max(self.oils, key=lambda oil: _eta(oil, temperature_c, shear_rate_per_s))


def _eta(oil: Oil, temperature_c: float, shear_rate_per_s: float) -> float:
    return oil.dynamic_viscosity_pa_s(temperature_c, shear_rate_per_s=shear_rate_per_s)


def band_of_oil(oil: Oil) -> OilBand:
    """The band of one measured oil: that oil alone."""
    return OilBand(name=oil.name, oils=(oil,), measured=True)


def band_of_grade(grade: EngineGrade | IsoGrade) -> OilBand:
    """The typical band of a grade without a data sheet.

    InputError for a W grade alone: it has no upper limit at 100 °C.
    """
    oils = _iso_oils(grade) if isinstance(grade, IsoGrade) else _engine_oils(grade)
    return OilBand(name=grade.name, oils=tuple(oils), measured=False)


def _engine_oils(grade: EngineGrade) -> Iterator[Oil]:
    below = grade.below_100c_m2_s
    if below is None or grade.high_shear_150c_pa_s is None:
        raise InputError(
            Fault(
                given=grade.name,
                allowed="a W grade alone has no upper limit at 100 °C, so it says no viscosity",
                action="give both numbers, such as 10W-40, or the values of the data sheet",
            )
        )
    usual = usual_oil()
    winter = grade.winter
    index = usual.straight_viscosity_index if winter is None else winter.usual_viscosity_index
    for steep, density in product(_ends(index), _ends(usual.density_15c_kg_m3)):
        thinnest = _least_at_100c_m2_s(grade, index=steep, density_kg_m3=density)
        for at_100 in (thinnest, below):
            newtonian = _oil(grade.name, at_100, index=steep, density_kg_m3=density)
            yield newtonian
            thin = _thinning(newtonian, grade.high_shear_150c_pa_s)
            if thin is not None and winter is not None:
                yield thin


def _thinning(oil: Oil, high_shear_150c_pa_s: float) -> Oil | None:
    """The same oil that just keeps the grade's HTHS; None where it would lose half or gain."""
    ratio = high_shear_150c_pa_s / oil.dynamic_viscosity_pa_s(150.0)
    if not 0.5 < ratio <= 1.0:
        return None
    return Oil(
        name=oil.name,
        density_kg_m3_at_15c=oil.density_kg_m3_at_15c,
        nu40_m2_s=oil.nu40_m2_s,
        nu100_m2_s=oil.nu100_m2_s,
        high_shear_150c_pa_s=high_shear_150c_pa_s,
    )


def _least_at_100c_m2_s(grade: EngineGrade, *, index: float, density_kg_m3: float) -> float:
    """The least ν(100 °C), m²/s, with which both its own limit and that of HTHS are kept."""
    low, high = grade.minimum_100c_m2_s, grade.below_100c_m2_s or grade.minimum_100c_m2_s
    wanted = grade.high_shear_150c_pa_s or 0.0

    def keeps(at_100: float) -> bool:
        oil = _oil(grade.name, at_100, index=index, density_kg_m3=density_kg_m3)
        return oil.dynamic_viscosity_pa_s(150.0) >= wanted

    if keeps(low):
        return low
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if keeps(middle) else (middle, high)
    return high


def _oil(name: str, at_100c_m2_s: float, *, index: float, density_kg_m3: float) -> Oil:
    return Oil(
        name=name,
        density_kg_m3_at_15c=density_kg_m3,
        nu40_m2_s=at_40c_from_index_m2_s(index=index, at_100c_m2_s=at_100c_m2_s),
        nu100_m2_s=at_100c_m2_s,
        measured_c=(100.0, 100.0),
    )


def _iso_oils(grade: IsoGrade) -> Iterator[Oil]:
    usual = usual_oil()
    for at_40, index, density in product(
        (grade.minimum_40c_m2_s, grade.maximum_40c_m2_s),
        _ends(usual.straight_viscosity_index),
        _ends(usual.density_15c_kg_m3),
    ):
        yield Oil(
            name=grade.name,
            density_kg_m3_at_15c=density,
            nu40_m2_s=at_40,
            nu100_m2_s=_at_100c_m2_s(at_40, index=index),
            measured_c=(40.0, 40.0),
        )


def _at_100c_m2_s(at_40c_m2_s: float, *, index: float) -> float:
    """ν(100 °C), m²/s, of an oil with this viscosity index: ASTM D2270 by halving."""
    low, high = 2e-6, 55e-6
    if not at_40c_from_index_m2_s(index=index, at_100c_m2_s=low) <= at_40c_m2_s:
        raise InputError(
            Fault(
                given=f"{at_40c_m2_s * 1e6:.3g} mm²/s at 40 °C",
                allowed="so thin a grade has no viscosity index that would say how it falls",
                action="give two viscosities and the density of the data sheet",
            )
        )
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        thicker = at_40c_from_index_m2_s(index=index, at_100c_m2_s=middle) > at_40c_m2_s
        low, high = (low, middle) if thicker else (middle, high)
    return high


def _ends(span: Span) -> tuple[float, float]:
    return span.low, span.high
