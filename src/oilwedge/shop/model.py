"""A shop as frozen values: its instruments, its strips, its parts in stock, its people."""

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
class StockItem:
    """Parts of one kind on the shelf: shells of one grade, washers of one thickness.

    ``part`` is the key of a part of an engine file (rod_shells), ``fit`` the key of a fit or a
    kind of bearing that they are for. ``step_m`` is the undersize or oversize (positive; 0 for
    standard), None where nobody says. ``size_m`` is the wall of a shell, the thickness of a
    washer, the diameter of a piston, give or take ``tolerance_m``; ``measured_m`` what was
    measured on these very parts.
    """

    key: str
    part: str
    title: str
    fit: str = ""
    grade: str = ""
    step_m: float | None = None
    step_text: str = ""  # "0.25 mm under"
    size_m: float | None = None
    tolerance_m: float | None = None
    measured_m: float | None = None
    count: int = 1
    price: str = ""
    place: str = ""
    note: str = ""

    @property
    def best_size_m(self) -> float | None:
        """What was measured, else what the maker says."""
        return self.measured_m if self.measured_m is not None else self.size_m


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """What a shop owns. ``text`` is the file as written, ``digest`` its SHA-256."""

    name: str = ""
    instruments: Mapping[str, Instrument] = field(default_factory=dict)
    strips: Mapping[str, Strip] = field(default_factory=dict)
    stock: Mapping[str, StockItem] = field(default_factory=dict)
    people: Mapping[str, str] = field(default_factory=dict)  # short name: full name
    words: TradeWords = TradeWords()
    text: str = ""
    digest: str = ""

    def stock_of(self, part: str) -> tuple[StockItem, ...]:
        """What is in stock of one part, in the order of the file; what is used up stays out."""
        return tuple(one for one in self.stock.values() if one.part == part and one.count > 0)

    def of_kind(self, kind: InstrumentKind) -> tuple[Instrument, ...]:
        """The shop's instruments of one kind, in the order of the file."""
        return tuple(one for one in self.instruments.values() if one.kind is kind)


DEFAULT_SHOP = Shop(name="no shop file given", instruments=GENERIC_INSTRUMENTS)
"""Stands in where no shop file is given: one of each kind (common practice, no source)."""
