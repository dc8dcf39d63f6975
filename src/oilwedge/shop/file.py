"""The shop file: read from text, checked in one go, made into a shop."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from pydantic import ValidationError

from oilwedge.errors import Fault, ShopFileError
from oilwedge.shop.instruments_file import read_instruments
from oilwedge.shop.model import Shop, TradeWords
from oilwedge.shop.schema import ShopTable
from oilwedge.shop.stock_file import read_stock
from oilwedge.shop.strips_file import read_strips
from oilwedge.toml_faults import Findings, note_shape_faults, without
from oilwedge.toml_text import decode_toml, line_index, parse_toml


@dataclass(frozen=True, kw_only=True, slots=True)
class CheckedShop:
    """What a check found; ``shop`` is None when there are faults."""

    faults: tuple[Fault, ...]
    warnings: tuple[Fault, ...]
    shop: Shop | None


def decode_shop(data: bytes, *, file: str) -> str:
    """The text of a shop file; ShopFileError when it is over 5 MB or not UTF-8."""
    return decode_toml(data, file=file, error=ShopFileError)


def read_shop(text: str, *, file: str) -> Shop:
    """The shop that a file describes; ShopFileError with every fault in it."""
    checked = check_shop(text, file=file)
    if checked.shop is None:
        raise ShopFileError(*checked.faults)
    return checked.shop


def check_shop(text: str, *, file: str) -> CheckedShop:
    """All faults and warnings of a shop file, in the order of its lines, and the shop."""
    try:
        values = parse_toml(text, file=file, error=ShopFileError)
    except ShopFileError as error:
        return CheckedShop(faults=error.faults, warnings=(), shop=None)
    findings = Findings(file=file, index=line_index(text))
    table = _shaped(values, findings=findings)
    shop = Shop(
        name=table.shop.name,
        instruments=read_instruments(table.instruments, findings=findings),
        strips=read_strips(table.strips, findings=findings),
        stock=read_stock(table.stock, findings=findings),
        people=table.people,
        words=TradeWords(end_float=table.words.end_float, shell=table.words.shell),
        text=text,
        digest=hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest(),
    )
    faults, warnings = findings.in_order()
    return CheckedShop(faults=faults, warnings=warnings, shop=None if faults else shop)


@lru_cache(maxsize=1)
def _schema() -> dict[str, Any]:
    return ShopTable.model_json_schema()


def _shaped(values: dict[str, Any], *, findings: Findings) -> ShopTable:
    """The file as tables, without the keys that are at fault (they are noted)."""
    while True:
        try:
            return ShopTable.model_validate(values)
        except ValidationError as error:
            found = error.errors(include_url=False)
        before = set(findings.cut)
        note_shape_faults(found, schema=_schema(), findings=findings)
        if findings.cut == before:
            return ShopTable()
        values = without(values, findings.cut)
