"""The shop's words of the trade in templates: end play for end float, insert for shell."""

from __future__ import annotations

from django import template

from oilwedge.usecases.trade_words import TradeWords
from oilwedge.usecases.trade_words import spoken as in_words_of

register = template.Library()


@register.filter
def spoken(text: object, words: TradeWords) -> str:
    """A text as this shop says it."""
    return in_words_of(str(text), words=words)
