"""The database itself refuses to change or take away what was added."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.apps import apps
from django.core.management.sql import emit_post_migrate_signal
from django.db import DatabaseError, connection, migrations, models, transaction
from django.db.migrations.loader import MigrationLoader
from record_entries import reading

from oilwedge.web.people.models import Account
from oilwedge.web.record.models import Job, KnownHead, ShopRevision
from oilwedge.web.record.store import append_entries, commitment_for
from oilwedge.web.record.triggers import RULES, install_triggers, missing_triggers

MakeJob = Callable[..., Job]
REFUSED = (
    "UPDATE record_jobentry SET document = document || ' '",
    "UPDATE record_jobentry SET head = 'x' WHERE sequence = 1",
    "UPDATE record_jobentry SET sequence = sequence + 100",
    "UPDATE record_jobentry SET received_at = '2001-01-01'",
    "DELETE FROM record_jobentry",
    "DELETE FROM record_jobentry WHERE sequence = 2",
    "UPDATE record_job SET count = count - 1",
    "UPDATE record_job SET head = 'x'",
    "UPDATE record_job SET number = 'other'",
    "UPDATE record_job SET serial = 9",
    "DELETE FROM record_job",
    "UPDATE record_enginetext SET text = text || ' '",
    "UPDATE record_enginetext SET name = 'other'",
    "DELETE FROM record_enginetext",
    "UPDATE record_shoprevision SET text = 'other'",
    "UPDATE record_shoprevision SET person_name = 'other'",
    "DELETE FROM record_shoprevision",
    "UPDATE record_knownhead SET head = 'x'",
    "DELETE FROM record_knownhead",
    "UPDATE record_personaldatum SET text = 'other'",
    "UPDATE record_personaldatum SET salt = 'other'",
    "UPDATE record_personaldatum SET commitment = 'other'",
    "DELETE FROM record_personaldatum",
)
TABLES = ("jobentry", "job", "enginetext", "shoprevision", "knownhead", "personaldatum")


@pytest.fixture
def full_job(make_job: MakeJob, people: dict[str, Account], shop_revision: ShopRevision) -> Job:
    job = make_job()
    commitment_for(job=job, account=people["ben"])
    append_entries(job=job, entries=(reading("r1"), reading("r2")))
    KnownHead.objects.create(job_number=job.number, count=job.count, head=job.head, reason="sheet")
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")  # else TRUNCATE is refused for these
    return job


def refused(statement: str) -> bool:
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    except DatabaseError as error:
        assert any(rule.says in str(error) for rule in RULES), error
        return True
    return False


@pytest.mark.django_db
@pytest.mark.parametrize("statement", REFUSED)
def test_raw_sql_that_changes_the_record_is_refused(full_job: Job, statement: str) -> None:
    assert refused(statement)


@pytest.mark.django_db
@pytest.mark.parametrize("table", TABLES)
def test_emptying_a_table_is_refused(full_job: Job, table: str) -> None:
    word = "TRUNCATE" if connection.vendor == "postgresql" else "DELETE FROM"
    cascade = " CASCADE" if connection.vendor == "postgresql" else ""
    assert refused(f"{word} record_{table}{cascade}")


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("taken", ["id", "sequence", "entry_id"])
def test_an_entry_is_not_replaced_by_an_insert(full_job: Job, taken: str) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("only SQLite has REPLACE")
    new = {"id": "9001", "sequence": "9001", "entry_id": "'new'", taken: taken}
    statement = (
        "INSERT OR REPLACE INTO record_jobentry"
        " (id, job_id, sequence, entry_id, document, head, received_at)"
        f" SELECT {new['id']}, job_id, {new['sequence']}, {new['entry_id']}, '{{}}', 'x',"
        " received_at FROM record_jobentry WHERE sequence = 2"
    )
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA recursive_triggers = OFF")  # as another program has it
    try:
        assert refused(statement)
    finally:
        connection.close()


@pytest.mark.django_db
def test_names_may_be_blanked_and_not_come_back(full_job: Job) -> None:
    assert not refused("UPDATE record_personaldatum SET text = '', salt = ''")
    assert refused("UPDATE record_personaldatum SET text = 'Ben'")
    assert not refused("UPDATE record_shoprevision SET person_name = ''")


@pytest.mark.django_db
def test_missing_rules_are_named(full_job: Job) -> None:
    assert missing_triggers(connection) == ()
    on = " ON record_jobentry" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER record_jobentry_keeps_update{on}")
    assert missing_triggers(connection) == ("record_jobentry_keeps_update",)
    install_triggers(connection)
    assert missing_triggers(connection) == ()


HOLLOW = {
    "sqlite": "BEFORE UPDATE ON record_jobentry FOR EACH ROW WHEN 0"
    " BEGIN SELECT RAISE(ABORT, 'the record is only added to'); END",
    "postgresql": "BEFORE UPDATE ON record_jobentry FOR EACH ROW WHEN (false)"
    " EXECUTE FUNCTION oilwedge_refuse('the record is only added to')",
}


@pytest.mark.django_db
def test_a_rule_that_was_made_hollow_counts_as_missing(full_job: Job) -> None:
    on = " ON record_jobentry" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER record_jobentry_keeps_update{on}")
        cursor.execute(f"CREATE TRIGGER record_jobentry_keeps_update {HOLLOW[connection.vendor]}")
    assert missing_triggers(connection) == ("record_jobentry_keeps_update",)


@pytest.mark.django_db
def test_rules_whose_function_refuses_nothing_count_as_missing(full_job: Job) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("SQLite's triggers call no function")
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE OR REPLACE FUNCTION oilwedge_refuse() RETURNS trigger LANGUAGE plpgsql AS"
            " $$ BEGIN RETURN NEW; END $$"
        )
    assert len(missing_triggers(connection)) == len(RULES) - 1 + len(TABLES)


@pytest.mark.django_db
def test_a_disabled_rule_counts_as_missing(full_job: Job) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("SQLite cannot disable a trigger")
    with connection.cursor() as cursor:
        cursor.execute("ALTER TABLE record_jobentry DISABLE TRIGGER record_jobentry_keeps_delete")
    assert missing_triggers(connection) == ("record_jobentry_keeps_delete",)


@pytest.mark.django_db(transaction=True)
def test_the_rules_survive_a_migration_that_makes_the_table_anew(full_job: Job) -> None:
    state = MigrationLoader(connection).project_state()
    migration = migrations.Migration("9999_longer_ids", "record")
    migration.operations = [
        migrations.AlterField("jobentry", "entry_id", models.CharField(max_length=90)),
        migrations.AddField("job", "colour", models.CharField(max_length=9, default="")),
    ]
    with connection.schema_editor() as editor:
        after = migration.apply(state.clone(), editor)
    emit_post_migrate_signal(verbosity=0, interactive=False, db="default")
    try:
        assert missing_triggers(connection) == ()
        assert all(refused(s) for s in REFUSED if s.startswith("DELETE"))
        append_entries(job=full_job, entries=(reading("r3"),))
    finally:
        with connection.schema_editor() as editor:
            migration.unapply(state.clone(), editor)
        emit_post_migrate_signal(verbosity=0, interactive=False, db="default")
    assert after.models[("record", "job")].fields["colour"] is not None
    assert apps.get_model("record", "Job").objects.get().count == 4
    assert refused("DELETE FROM record_jobentry")
