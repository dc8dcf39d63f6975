"""The unit in which somebody reads lengths: chosen at a touch, kept for the session."""

from __future__ import annotations

from django.http import HttpRequest

UNITS = ("mm", "in", "thou")
_KEY = "unit"


def unit_of(request: HttpRequest) -> str:
    """The unit of this request: ``?unit=`` if it names one (and is kept), else the one kept."""
    session = getattr(request, "session", None)  # a fault page may come before sessions do
    kept = str(session.get(_KEY, UNITS[0])) if session is not None else UNITS[0]
    asked = request.GET.get("unit", "")
    if asked not in UNITS:
        return kept if kept in UNITS else UNITS[0]
    if session is not None and asked != kept:
        session[_KEY] = asked
    return asked
