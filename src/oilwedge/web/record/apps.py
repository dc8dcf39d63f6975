"""The Django app of the record."""

from __future__ import annotations

from django.apps import AppConfig
from django.db import connections
from django.db.models.signals import post_migrate


class RecordConfig(AppConfig):
    """The record of a shop; lays its triggers after each migration."""

    name = "oilwedge.web.record"
    label = "record"

    def ready(self) -> None:
        """Ask to be told of migrations."""
        post_migrate.connect(_lay_triggers, sender=self)


def _lay_triggers(*, using: str, **_: object) -> None:
    from oilwedge.web.record.triggers import install_triggers

    install_triggers(connections[using])
