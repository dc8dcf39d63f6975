"""The trade has two words for some things; every face says the one that the shop says."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable
from typing import Any, TypeVar

from oilwedge.report.document import Document
from oilwedge.shop.model import TradeWords

__all__ = ["TradeWords", "in_trade_words", "spoken"]

Part = TypeVar("Part")


def spoken(text: str, *, words: TradeWords) -> str:
    """The text in the shop's words: "end play" for "end float", "insert" for "shell".

    Whole words only, with the article, a plural s and a capital where there was one.
    """
    for ours, theirs in (("end float", words.end_float), ("shell", words.shell)):
        if ours != theirs:
            pattern = rf"(?P<article>\ba )?\b(?P<word>{ours})(?P<plural>s?)\b"
            text = re.sub(pattern, _said(theirs), text, flags=re.IGNORECASE)
    return text


def _said(theirs: str) -> Callable[[re.Match[str]], str]:
    def say(found: re.Match[str]) -> str:
        word = theirs.capitalize() if found["word"][0].isupper() else theirs
        article = found["article"] or ""
        if article and theirs[0] in "aeiou":
            article = f"{article[0]}n "
        return f"{article}{word}{found['plural']}"

    return say


def in_trade_words(document: Document, *, words: TradeWords) -> Document:
    """The same document in the shop's words; drawings keep theirs, for they carry none of these."""
    if words == TradeWords():
        return document
    return _translated(document, words=words)


def _translated(part: Part, *, words: TradeWords) -> Part:
    """Every text in a tree of frozen dataclasses and tuples."""
    found: Any = part
    if isinstance(found, str):
        found = spoken(found, words=words)
    elif isinstance(found, tuple):
        found = tuple(_translated(one, words=words) for one in found)
    elif dataclasses.is_dataclass(found) and not isinstance(found, type):
        changes = {
            field.name: _translated(getattr(found, field.name), words=words)
            for field in dataclasses.fields(found)
            if field.name not in _NEVER
        }
        found = dataclasses.replace(found, **changes)
    result: Part = found
    return result


# What is no text for a person, or was given by one and stays as it is.
_NEVER = frozenset({"svg", "job_number", "qr_text", "language"})
