"""A judgement: every fit of one engine with its verdict, and all that it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from oilwedge.engine.model import Engine, Fit, Place
from oilwedge.fits.advice import Advice
from oilwedge.fits.limits import Condition
from oilwedge.fits.methods import FitMeasurement
from oilwedge.fits.neighbours import Apart
from oilwedge.fits.verdict import State, Verdict
from oilwedge.job.questions import Question
from oilwedge.job.standing import Doubted, Standing
from oilwedge.metrology.size import SizeEstimate
from oilwedge.shop.model import Shop
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.usecases.flags import Flag

# Worst first: what must not be run, then what must be looked at, then what is missing.
WORST_FIRST = (
    State.PAST_SERVICE,
    State.TOO_TIGHT,
    State.TOO_LOOSE,
    State.READINGS_DISAGREE,
    State.CANNOT_TELL,
    State.LOOSE,
    State.NOT_MEASURED,
    State.NO_LIMITS,
    State.RIGHT,
)
NOT_COUNTED = (State.NOT_MEASURED, State.NO_LIMITS)


class RuleChoice(Enum):
    """The rules under the names that a person chooses them by."""

    SIMPLE = "simple"
    SAFETY_MARGIN = "safety-margin"

    @property
    def rule(self) -> DecisionRule:
        """The rule itself."""
        return DecisionRule[self.name]


@dataclass(frozen=True, kw_only=True, slots=True)
class FitResult:
    """One fit of one bearing, cylinder or valve, judged.

    ``conditions`` says by its title what each part is whose wear decides on the limits. ``flags``
    say what else a reader of the verdict has to know; they do not change it.
    """

    key: str
    number: int
    fit: Fit
    measurement: FitMeasurement
    verdict: Verdict
    questions: tuple[Question, ...] = ()
    doubted: tuple[Doubted, ...] = ()
    advice: Advice | None = None
    apart: Apart | None = None
    places: tuple[Place, ...] = ()
    feature_titles: Mapping[str, str] = field(default_factory=dict)
    instrument_titles: Mapping[str, str] = field(default_factory=dict)
    conditions: Mapping[str, Condition] = field(default_factory=dict)
    flags: tuple[Flag, ...] = ()

    @property
    def label(self) -> str:
        """The fit in words, with its number."""
        return self.fit.label(self.number)


@dataclass(frozen=True, kw_only=True, slots=True)
class Judgement:
    """Everything that was judged, in the order of the engine file."""

    engine: Engine
    shop: Shop
    rule: DecisionRule
    standing: Standing
    fits: tuple[FitResult, ...]
    sizes: Mapping[tuple[str, int], SizeEstimate]
    questions: tuple[Question, ...]
    job_number: str = ""
    head: str = ""
    notes: tuple[str, ...] = ()

    def worst_first(self) -> tuple[FitResult, ...]:
        """The fits sorted by how bad they are; like ones stay in order."""
        return tuple(sorted(self.fits, key=lambda one: WORST_FIRST.index(one.verdict.state)))

    def counted(self, *, complete: bool) -> tuple[FitResult, ...]:
        """The fits that count for the answer as a whole.

        Those not measured and those without limits count only when completeness is asked for.
        """
        if complete:
            return self.fits
        return tuple(one for one in self.fits if one.verdict.state not in NOT_COUNTED)

    def all_right(self, *, complete: bool = False) -> bool:
        """Whether every fit that counts is right, and at least one does count."""
        counted = self.counted(complete=complete)
        return bool(counted) and all(one.verdict.state is State.RIGHT for one in counted)
