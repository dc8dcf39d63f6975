"""Tables of the catalogue: parts, features and fits, for the page on the engine file."""

from __future__ import annotations

from collections.abc import Iterable

from oilwedge.engine.catalogue import catalogue
from oilwedge.engine.model import Feature, Fit, Judged, Term


def tables() -> dict[str, str]:
    """Markdown tables by the name of their mark."""
    return {"parts": _parts(), "features": _features(), "fits": _fits()}


def _table(head: str, rows: Iterable[str]) -> str:
    columns = head.count("|") - 1
    return "\n".join([head, "|" + "---|" * columns, *rows]) + "\n"


def _parts() -> str:
    return _table(
        "| key | part |", (f"| `{key}` | {title} |" for key, title in catalogue().parts.items())
    )


def _features() -> str:
    head = "| key | what | one for each | shape | places (quick) | directions (quick) | usually |"
    return _table(head, map(_feature, catalogue().features.values()))


def _feature(feature: Feature) -> str:
    places = _names(
        [place.name for place in feature.places], [place.name for place in feature.quick_places]
    )
    directions = _names(
        [one.name for one in feature.directions], [one.name for one in feature.quick_directions]
    )
    return (
        f"| `{feature.key}` | {feature.title} | {feature.per.value} | {feature.shape.value} |"
        f" {places} | {directions} | {feature.instrument} |"
    )


def _names(full: list[str], quick: list[str]) -> str:
    """All names; those that the quick plan leaves out in brackets."""
    return ", ".join(name if name in quick else f"[{name}]" for name in full) or "once"


def _fits() -> str:
    head = "| key | what | one for each | limits | ways: what is added and taken away |"
    return _table(head, map(_fit, catalogue().fits.values()))


def _fit(fit: Fit) -> str:
    traits = catalogue().traits[fit.key]
    upper = traits.upper_only or fit.judged is not Judged.SIZE
    judged = f", judges {fit.judged.value}" if fit.judged is not Judged.SIZE else ""
    ways = "; ".join(f"`{way.key}`: {_sum(way.terms)}" for way in fit.ways)
    limits = "upper" if upper else "low, high"
    return f"| `{fit.key}` | {fit.title}{judged} | {fit.per.value} | {limits} | {ways} |"


def _sum(terms: Iterable[Term]) -> str:
    return " ".join(_term(term, first=at == 0) for at, term in enumerate(terms))


def _term(term: Term, *, first: bool) -> str:
    times = "" if abs(term.coefficient) == 1 else f"{abs(term.coefficient):g} × "
    sign = "−" if term.coefficient < 0 else "" if first else "+"
    return f"{sign} {times}{term.feature}".strip()
