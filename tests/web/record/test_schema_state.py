"""A command reads a shop of its own version only, and says what to do about another one."""

from __future__ import annotations

import pytest
from django.db.migrations.recorder import MigrationRecorder

from oilwedge.errors import InputError
from oilwedge.web.record.schema_state import require_current

pytestmark = pytest.mark.django_db
Migration = MigrationRecorder.Migration


def test_a_shop_of_this_version_is_read() -> None:
    require_current()


def test_a_newer_an_older_and_an_empty_one_are_not() -> None:
    newer = Migration.objects.create(app="record", name="9999_newer")
    with pytest.raises(InputError, match="newer oilwedge"):
        require_current()
    newer.delete()
    Migration.objects.filter(app="record").delete()
    with pytest.raises(InputError, match="older oilwedge"):
        require_current()
    Migration.objects.all().delete()
    with pytest.raises(InputError, match="no database yet"):
        require_current()
