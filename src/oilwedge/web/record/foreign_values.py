"""Values that oilwedge never writes: SQLite takes a text for a number, or bytes for a text.

Nothing can be computed from such a value, so each is named before anything else is looked at.
PostgreSQL refuses them itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

from oilwedge.web.record.models import (
    EngineText,
    Job,
    JobEntry,
    KnownHead,
    PersonalDatum,
    Photo,
    ShopRevision,
)

_TABLES = (Job, JobEntry, EngineText, PersonalDatum, Photo, ShopRevision, KnownHead)
_NAMED_AT_MOST = 20


def foreign_values(connection: BaseDatabaseWrapper) -> tuple[str, ...]:
    """A sentence for each row of the record with a value of the wrong kind, 20 of a table."""
    if connection.vendor != "sqlite":
        return ()
    found = [sentence for model in _TABLES for sentence in _in_table(connection, model)]
    if found:
        found.append("Nothing else was looked at: restore a backup, then verify again.")
    return tuple(found)


def _in_table(connection: BaseDatabaseWrapper, model: type[models.Model]) -> Iterator[str]:
    table = model._meta.db_table
    wrong = {str(one.column): _wrong(one, connection) for one in model._meta.concrete_fields}
    columns = ", ".join(wrong.values())
    query = f"SELECT rowid, {columns} FROM {table} WHERE {' OR '.join(wrong.values())}"
    with connection.cursor() as cursor:
        cursor.execute(f"{query} ORDER BY rowid LIMIT {_NAMED_AT_MOST}")
        for row, *flags in cursor.fetchall():
            named = ", ".join(name for name, flag in zip(wrong, flags, strict=True) if flag)
            yield (
                f"{table}, row {row}: {named} is of a kind that oilwedge never writes: it was"
                " changed by another program."
            )


def _wrong(field: models.Field[Any, Any], connection: BaseDatabaseWrapper) -> str:
    """SQL that is true where the value cannot be the field's."""
    column = connection.ops.quote_name(str(field.column))
    of_type = (field.db_type(connection) or "").split("(")[0]
    if of_type == "datetime":
        wrong = f"typeof({column}) <> 'text' OR datetime({column}) IS NULL"
    elif of_type in ("text", "varchar"):
        wrong = f"typeof({column}) <> 'text'"
    else:
        wrong = f"typeof({column}) <> 'integer'"
    return f"({column} IS NOT NULL AND ({wrong}))"
