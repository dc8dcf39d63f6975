"""The record as it stood at one moment, while others go on writing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction


@contextmanager
def snapshot() -> Iterator[None]:
    """All that is read in the block is of one moment. Nothing may be written in it.

    Inside a transaction that is there already, it is that transaction's view.
    """
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "sqlite":
        connection.ensure_connection()
        with connection.cursor() as cursor:
            cursor.execute("BEGIN")  # not IMMEDIATE, as Django's own: a reader keeps nobody waiting
            try:
                yield
            finally:
                cursor.execute("ROLLBACK")
    else:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
