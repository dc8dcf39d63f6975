"""Filters of the measure pages."""

from __future__ import annotations

from django import template

from oilwedge.web.bench.measuring import parked_flow
from oilwedge.web.record.models import Parked

register = template.Library()


@register.filter
def typed_words(parked: Parked) -> str:
    """What was typed, in a few words."""
    return parked_flow.typed_words(parked)


@register.filter
def comes_again(parked: Parked) -> bool:
    """Whether it can be tried again as it is: a row of a table cannot."""
    return parked_flow.comes_again(parked)


@register.filter
def place_address(parked: Parked) -> str:
    """Where its reading is typed anew; empty for what is no reading of the engine."""
    return parked_flow.place_address(parked)
