"""What a learner sees beside a fit or a set: two sentences, a drawing, the words in use there."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.engine.model import Engine, Feature, Fit, Judged, LimitsSource, Shape, WayKind
from oilwedge.errors import Fault, UnknownNameError, did_you_mean
from oilwedge.report.form_drawings import FormWord, form_svg
from oilwedge.usecases.glossary import Explanation, Term, explain_term

__all__ = ["Explanation", "Lesson", "Term", "explain_term", "feature_lesson", "fit_lesson"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Lesson:
    """A fit or feature explained: ``drawing_svg`` is empty where no drawing helps.

    ``how`` says in a line how a feature is measured; ``terms`` are the words that stand beside it.
    """

    key: str
    title: str
    sentences: str
    how: str = ""
    drawing_svg: str = ""
    drawing_words: str = ""
    terms: tuple[Explanation, ...] = ()


def fit_lesson(engine: Engine, key: str) -> Lesson:
    """A fit of the engine, explained; UnknownNameError where it has none of this key."""
    fit = engine.fits.get(key)
    if fit is None:
        raise _unknown(key, list(engine.fits), sort="fit")
    form = _form_of_fit(fit)
    return Lesson(
        key=key,
        title=fit.title,
        sentences=fit.explain,
        drawing_svg=form_svg(form) if form is not None else "",
        drawing_words=form.value if form is not None else "",
        terms=tuple(explain_term(term) for term in _terms_of_fit(fit, engine)),
    )


def feature_lesson(engine: Engine, key: str) -> Lesson:
    """A feature of the engine, explained; UnknownNameError where it has none of this key."""
    feature = engine.features.get(key)
    if feature is None:
        raise _unknown(key, list(engine.features), sort="feature")
    form = _form_of_feature(feature)
    return Lesson(
        key=key,
        title=feature.title,
        sentences=feature.explain,
        how=feature.how,
        drawing_svg=form_svg(form) if form is not None else "",
        drawing_words=form.value if form is not None else "",
        terms=tuple(explain_term(term) for term in _terms_of_feature(feature)),
    )


def _form_of_fit(fit: Fit) -> FormWord | None:
    if fit.judged is Judged.TAPER:
        return FormWord.TAPER
    if fit.judged is Judged.OUT_OF_ROUND:
        return FormWord.OUT_OF_ROUND
    shelled = any(way.kind in (WayKind.GAUGED, WayKind.WALLS) for way in fit.ways)
    return FormWord.SQUARE_TO_SPLIT if shelled and _is_split(fit) else None


def _is_split(fit: Fit) -> bool:
    return any(way.kind in (WayKind.WALLS, WayKind.STRIP) for way in fit.ways)


def _form_of_feature(feature: Feature) -> FormWord | None:
    if feature.shape is Shape.WALL or any(part.endswith("shells") for part in feature.parts):
        return FormWord.SQUARE_TO_SPLIT if feature.shape is not Shape.STRIP else None
    return FormWord.OUT_OF_ROUND if feature.form_judged else None


def _terms_of_fit(fit: Fit, engine: Engine) -> tuple[Term, ...]:
    terms = [Term.WINDOW, Term.UNCERTAINTY, Term.CHANCE, Term.SAFETY_MARGIN]
    kinds = {way.kind for way in fit.ways}
    features = [engine.features[key] for key in fit.features]
    if WayKind.GAUGED in kinds:
        terms.append(Term.CLEARANCE)
    if _is_split(fit):
        terms += [Term.SQUARE_TO_SPLIT, Term.CRUSH]
    if fit.judged is Judged.TAPER:
        terms += [Term.TAPER, Term.HOURGLASS]
    if fit.judged is Judged.OUT_OF_ROUND:
        terms.append(Term.OUT_OF_ROUND)
    if any(one.form_judged for one in features) and fit.judged is Judged.SIZE:
        terms += [Term.TAPER, Term.OUT_OF_ROUND, Term.HOURGLASS]
    if WayKind.STRIP in kinds:
        terms.append(Term.STRIP)
    if len(kinds) > 1:
        terms.append(Term.READINGS_DISAGREE)
    if fit.service_high_m is not None or fit.service_low_m is not None:
        terms += [Term.SERVICE_LIMIT, Term.CONDITION]
    if fit.key == "crank_end_float":
        terms.append(Term.END_FLOAT)
    if "runout" in fit.key:
        terms.append(Term.RUN_OUT)
    if fit.limits_source is LimitsSource.SIZE:
        terms.append(Term.UNDERSIZE)
    terms += [Term.CLOSE, Term.CANNOT_TELL]
    return tuple(dict.fromkeys(terms))


def _terms_of_feature(feature: Feature) -> tuple[Term, ...]:
    terms: list[Term] = []
    if feature.positive:
        terms.append(Term.DEVIATION)
    if feature.undersize_factor:
        terms += [Term.UNDERSIZE, Term.TURN]
    if feature.form_judged:
        terms += [Term.TAPER, Term.OUT_OF_ROUND, Term.HOURGLASS]
    if any(part.endswith("shells") for part in feature.parts):
        terms += [Term.SQUARE_TO_SPLIT, Term.CRUSH]
    if feature.shape is Shape.WALL:
        terms.append(Term.CROWN)
    if feature.shape is Shape.STRIP:
        terms.append(Term.STRIP)
    else:
        terms += [Term.ZERO_CHECK, Term.REPEATABILITY]
    if feature.instrument == "bore gauge":
        terms.append(Term.SET_IN)
    terms.append(Term.REFIT)
    return tuple(dict.fromkeys(terms))


def _unknown(key: str, known: list[str], *, sort: str) -> UnknownNameError:
    return UnknownNameError(
        Fault(
            given=key,
            allowed=f"the engine file has no {sort} of this name",
            action=did_you_mean(given=key, allowed=known),
        )
    )
