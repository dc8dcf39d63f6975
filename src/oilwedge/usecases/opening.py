"""Open what a person names: an engine file, a shop file, tables of readings, a job file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from oilwedge.engine.file import decode_engine, read_engine
from oilwedge.engine.model import Engine
from oilwedge.errors import Fault, InputError, Where
from oilwedge.shop.file import decode_shop, read_shop
from oilwedge.shop.model import DEFAULT_SHOP, Shop

__all__ = [
    "DEFAULT_SHOP",
    "SHOP_FILE",
    "Engine",
    "Opened",
    "Shop",
    "engine_of_text",
    "file_bytes",
    "names",
    "open_engine",
    "open_engine_and_shop",
    "open_shop",
    "shop_of_text",
    "with_people",
]

SHOP_FILE = "shop.toml"


@dataclass(frozen=True, kw_only=True, slots=True)
class Opened:
    """An engine and the shop whose instruments measure it."""

    engine: Engine
    shop: Shop


def file_bytes(path: Path, *, what: str) -> bytes:
    """Read a file, or say in one sentence why it cannot be read."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        reason = f"there is no such file; {what} is expected here"
    except IsADirectoryError:
        reason = f"this is a folder; {what} is expected here"
    except PermissionError:
        reason = f"this file may not be read; {what} is expected here"
    except OSError as error:
        reason = f"this file cannot be read ({error.strerror}); {what} is expected here"
    raise InputError(Fault(where=Where(file=str(path)), given="", allowed=reason))


def open_engine(path: Path) -> Engine:
    """Read an engine file; every fault in it is in the error."""
    data = file_bytes(path, what="an engine file")
    return read_engine(decode_engine(data, file=path.name), file=path.name)


def open_shop(path: Path | None, *, beside: Path) -> Shop:
    """Read the shop file: the one named, else shop.toml beside the engine file, else none.

    Without one, general kinds of instruments stand in, with the uncertainty of common practice.
    """
    if path is None:
        path = beside.parent / SHOP_FILE
        if not path.is_file():
            return DEFAULT_SHOP
    data = file_bytes(path, what="a shop file")
    return read_shop(decode_shop(data, file=path.name), file=path.name)


def open_engine_and_shop(*, engine: Path, shop: Path | None) -> Opened:
    """Read both."""
    return Opened(engine=open_engine(engine), shop=open_shop(shop, beside=engine))


def names(paths: Sequence[Path]) -> str:
    """File names as one phrase."""
    return ", ".join(path.name for path in paths)


def engine_of_text(text: str, *, file: str) -> Engine:
    """The engine that a text describes; ``file`` is what faults call it."""
    return read_engine(text, file=file)


def shop_of_text(text: str, *, file: str) -> Shop:
    """The shop that a text describes; ``file`` is what faults call it."""
    return read_shop(text, file=file)


def with_people(shop: Shop, *, people: Mapping[str, str]) -> Shop:
    """The shop with more names of people: what stands for a person in a record, and who it is."""
    return replace(shop, people={**shop.people, **people})
