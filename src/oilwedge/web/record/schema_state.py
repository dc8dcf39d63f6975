"""Whether the database is one of this version's, before a command reads it."""

from __future__ import annotations

from django.db import connection
from django.db.migrations.loader import MigrationLoader

from oilwedge.errors import Fault, InputError
from oilwedge.web.record.store import says_faults


@says_faults
def require_current() -> None:
    """Raise :class:`InputError` unless exactly this version's migrations were applied."""
    loader = MigrationLoader(connection)
    there, ours = set(loader.applied_migrations), set(loader.disk_migrations or {})
    if there - ours:
        said, action = "was used with a newer oilwedge", "install that version"
    elif not there:
        said, action = "has no database yet", "open it once with oilwedge serve"
    elif ours - there:
        said, action = "was last used with an older oilwedge", "open it once with oilwedge serve"
    else:
        return
    raise InputError(Fault(given="", allowed=f"this shop {said}", action=action))
