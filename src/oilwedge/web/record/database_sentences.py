"""What a database refused, in a sentence for a person."""

from __future__ import annotations

from django.db import DataError


def said_in_words(error: Exception) -> str:
    """A sentence for what the database refused."""
    text = str(error).lower()
    if isinstance(error, DataError):
        return (
            "What was sent does not fit into the record: it is too long, or holds a character that"
            " no text holds. Nothing was stored."
        )
    if "disk is full" in text or "no space" in text:
        return (
            "The disk of the shop's machine is full. Nothing was stored; make room and send again."
        )
    if "readonly" in text or "read-only" in text:
        return "The shop's record may not be written to. Nothing was stored; look at its rights."
    if any(word in text for word in ("malformed", "not a database", "could not decode")):
        return (
            "The shop's database is damaged, or another program wrote in it. Nothing was stored;"
            " restore a backup into a new folder."
        )
    if "locked" in text or "busy" in text or "timeout" in text:
        return "The record is busy. Nothing was stored; send again in a moment."
    return "The record cannot be reached. Nothing was stored; send again in a moment."
