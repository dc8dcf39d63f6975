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
