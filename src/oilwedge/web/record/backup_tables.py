"""Which tables a backup holds, in which order, and how a row is written down.

A row is a JSON list of its columns, the same from either database, so that a backup of one goes
into the other.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator, Sequence
from typing import Any, TypeAlias

from django.apps import apps
from django.db.models import Field, ForeignKey, Model

APPS = ("people", "record", "bench", "engines", "shelf", "classroom", "api")
# What lets somebody in is not copied: whoever finds a backup finds no key in it.
LEFT_OUT = ("people_invitation", "people_apitoken", "people_starttoken")
# Rows lie in the order that a reader wants them in; all others in the order of their keys.
_ORDERS = {"record_jobentry": ("job_id", "sequence")}

ModelType = type[Model]
AnyField: TypeAlias = "Field[Any, Any]"


def kept_models() -> tuple[ModelType, ...]:
    """The models that a backup holds; each after those that its rows point at."""
    left = [
        model
        for label in APPS
        for model in apps.get_app_config(label).get_models()
        if model._meta.db_table not in LEFT_OUT
    ]
    order: list[ModelType] = []
    while left:
        ready = [model for model in left if not _points_at(model) & set(left) - {model}]
        if not ready:
            raise RuntimeError("tables that point at each other cannot be put in an order")
        order += ready
        left = [model for model in left if model not in ready]
    return tuple(order)


def _points_at(model: ModelType) -> set[ModelType]:
    return {
        field.related_model
        for field in model._meta.concrete_fields
        if isinstance(field, ForeignKey) and isinstance(field.related_model, type)
    }


def columns_of(model: ModelType) -> tuple[AnyField, ...]:
    """The columns of a table, in the order in which a backup has them."""
    return tuple(model._meta.concrete_fields)


def rows_of(model: ModelType) -> Iterator[str]:
    """Every row of a table, each as one line without its end."""
    names = [field.attname for field in columns_of(model)]
    order = _ORDERS.get(model._meta.db_table, ("pk",))
    rows = model._base_manager.order_by(*order).values_list(*names)
    for row in rows.iterator(chunk_size=5000):
        yield json.dumps(row, ensure_ascii=False, separators=(",", ":"), default=_written)


def _written(value: object) -> str:
    if isinstance(value, datetime.datetime):
        return value.isoformat()
    raise TypeError(f"a backup has no way to write {type(value).__name__}")


def values_in(line: str, *, fields: Sequence[AnyField | None]) -> list[Any]:
    """The values of a line, one for each field; ValueError for a line that is no such row.

    None in the place of a field is a column that this version no longer has.
    """
    row = json.loads(line)
    if not isinstance(row, list) or len(row) != len(fields):
        raise ValueError("a row has another number of columns")
    pairs = zip(fields, row, strict=True)
    return [field.to_python(value) for field, value in pairs if field is not None]
