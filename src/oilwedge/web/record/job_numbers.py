"""Which numbers a job may have: one that can stand in an address and is no page of its own."""

from __future__ import annotations

import re

_NUMBER = re.compile(r"[\w.\-]{1,40}")
_TAKEN_BY_PAGES = ("new", "import")
_LED_AWAY = (".", "..")  # a browser takes these for steps in the address


def may_be_number(text: str) -> bool:
    """Whether a job of this number can be reached under its address."""
    return bool(_NUMBER.fullmatch(text)) and text not in (*_TAKEN_BY_PAGES, *_LED_AWAY)
