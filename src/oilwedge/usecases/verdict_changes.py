"""Two judgements of one engine held against each other: which verdicts are not the same."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.report.state_sign import StateSign
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.signs import shown_value, state_sign
from oilwedge.usecases.wording import verdict_words


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    """A verdict as it is shown: shape, words and value."""

    sign: StateSign
    words: str
    value: str


@dataclass(frozen=True, kw_only=True, slots=True)
class VerdictChange:
    """One fit whose verdict is another; a side is None where the fit is not judged there."""

    fit: str
    number: int
    label: str
    before: Shown | None
    after: Shown | None

    @property
    def sentence(self) -> str:
        """ "rod bearing 3: was right (0.035 ± 0.004 mm), is too tight (0.018 ± 0.004 mm)"."""
        was = _words(self.before) if self.before is not None else "not judged"
        now = _words(self.after) if self.after is not None else "not judged any more"
        return f"{self.label}: was {was}, is {now}"


def _words(shown: Shown) -> str:
    value = shown.value.replace("\n", ", ")
    return f"{shown.words} ({value})" if value != "–" else shown.words


def verdict_changes(
    *, before: Judgement, after: Judgement, face: LengthFace
) -> tuple[VerdictChange, ...]:
    """The fits whose words or shape changed, in the order of the later engine file.

    A value that moved and kept its verdict is no change.
    """
    old = {(one.key, one.number): one for one in before.fits}
    new = {(one.key, one.number): one for one in after.fits}
    changes = []
    for key in dict.fromkeys((*new, *old)):
        was, now = old.get(key), new.get(key)
        shown = (_shown(was, face=face), _shown(now, face=face))
        if _verdict(shown[0]) == _verdict(shown[1]):
            continue
        named = now or was
        assert named is not None
        changes.append(
            VerdictChange(
                fit=key[0],
                number=key[1],
                label=named.label,
                before=shown[0],
                after=shown[1],
            )
        )
    return tuple(changes)


def _shown(result: FitResult | None, *, face: LengthFace) -> Shown | None:
    if result is None:
        return None
    return Shown(
        sign=state_sign(result),
        words=verdict_words(fit=result.fit, verdict=result.verdict),
        value=shown_value(result, face=face),
    )


def _verdict(shown: Shown | None) -> tuple[StateSign, str] | None:
    return None if shown is None else (shown.sign, shown.words)
