"""Tables that are read against the engine and the shop of the bench."""

from collections.abc import Callable

import pytest

from oilwedge.engine.model import Engine
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing import BadRows, Imported, read_table

Take = Callable[[str | bytes], Imported]


@pytest.fixture
def take(engine: Engine, shop: Shop) -> Take:
    """Read a table, good rows and bad."""

    def read(text: str | bytes) -> Imported:
        data = text.encode() if isinstance(text, str) else text
        return read_table(
            data, engine=engine, shop=shop, name="readings.csv", bad_rows=BadRows.KEEP_GOOD
        )

    return read
