"""A shop as frozen values: its instruments, its strips, its people."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument, InstrumentKind, Strip


@dataclass(frozen=True, kw_only=True, slots=True)
class TradeWords:
    """What the shop calls things for which the trade has two words."""

    end_float: str = "end float"  # or "end play"
    shell: str = "shell"  # or "insert"


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """What a shop owns. ``text`` is the file as written, ``digest`` its SHA-256."""

    name: str = ""
    instruments: Mapping[str, Instrument] = field(default_factory=dict)
    strips: Mapping[str, Strip] = field(default_factory=dict)
    people: Mapping[str, str] = field(default_factory=dict)  # short name: full name
    words: TradeWords = TradeWords()
    text: str = ""
    digest: str = ""

    def of_kind(self, kind: InstrumentKind) -> tuple[Instrument, ...]:
        """The shop's instruments of one kind, in the order of the file."""
        return tuple(one for one in self.instruments.values() if one.kind is kind)


DEFAULT_SHOP = Shop(name="no shop file given", instruments=GENERIC_INSTRUMENTS)
"""Stands in where no shop file is given: one of each kind (common practice, no source)."""
