"""The database's own hold on the record: what was added there is not changed or taken away.

The rules stand in the database, so they hold for whoever opens it with another program too.
They are laid anew after each migration, because SQLite makes a changed table by copying it, and
its triggers stay behind.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from django.db.backends.base.base import BaseDatabaseWrapper


@dataclass(frozen=True, kw_only=True, slots=True)
class Rule:
    """One thing that a table refuses. ``when`` is SQL over OLD and NEW; empty: always."""

    table: str
    event: str  # UPDATE, DELETE, or INSERT: over a row that is there
    when: str = ""
    says: str = "the record is only added to"
    vendors: tuple[str, ...] = ("sqlite", "postgresql")

    @property
    def name(self) -> str:
        """The trigger's name in the database."""
        return f"{self.table}_keeps_{self.event.lower()}"


RULES = (
    Rule(table="record_jobentry", event="UPDATE"),
    Rule(table="record_jobentry", event="DELETE"),
    # SQLite's REPLACE deletes without a word where recursive_triggers is off, as it is by default.
    Rule(
        table="record_jobentry",
        event="INSERT",
        when="EXISTS (SELECT 1 FROM record_jobentry WHERE id = NEW.id"
        " OR (job_id = NEW.job_id AND sequence = NEW.sequence)"
        " OR (job_id = NEW.job_id AND entry_id = NEW.entry_id))",
        says="the place or the id of an entry is taken",
        vendors=("sqlite",),
    ),
    Rule(
        table="record_enginetext",
        event="UPDATE",
        when="NEW.digest <> OLD.digest OR NEW.text <> OLD.text OR NEW.name <> OLD.name",
        says="an engine file that was used is not changed",
    ),
    Rule(table="record_enginetext", event="DELETE"),
    Rule(
        table="record_shoprevision",
        event="UPDATE",
        when="NEW.id <> OLD.id OR NEW.number <> OLD.number OR NEW.text <> OLD.text"
        " OR NEW.digest <> OLD.digest OR NEW.note <> OLD.note OR NEW.made_at <> OLD.made_at"
        " OR (NEW.person_name <> OLD.person_name AND NEW.person_name <> '')",
        says="a revision of the shop file is not changed",
    ),
    Rule(table="record_shoprevision", event="DELETE"),
    Rule(table="record_knownhead", event="UPDATE"),
    Rule(table="record_knownhead", event="DELETE"),
    Rule(
        table="record_job",
        event="UPDATE",
        when="NEW.id <> OLD.id OR NEW.count < OLD.count"
        " OR NEW.serial <> OLD.serial OR NEW.number <> OLD.number"
        " OR (NEW.count = OLD.count AND NEW.head <> OLD.head)",
        says="a job's chain only grows",
    ),
    Rule(table="record_job", event="DELETE", says="a job is closed, not deleted"),
    Rule(
        table="record_personaldatum",
        event="UPDATE",
        when="NEW.commitment <> OLD.commitment OR NEW.job_id <> OLD.job_id"
        " OR (NEW.text <> OLD.text AND NEW.text <> '')"
        " OR (NEW.salt <> OLD.salt AND NEW.salt <> '')",
        says="a name is erased, not changed",
    ),
    Rule(table="record_personaldatum", event="DELETE"),
)


_REFUSE = (
    "BEGIN RAISE EXCEPTION '%', TG_ARGV[0] USING ERRCODE = 'integrity_constraint_violation'; END"
)
_ADDED = re.compile(r"::character varying|::\w+|[()\s]")


def install_triggers(connection: BaseDatabaseWrapper) -> None:
    """Lay all rules, in the place of what stands there under their names."""
    with connection.cursor() as cursor:
        for statement in statements(connection.vendor):
            cursor.execute(statement)


def missing_triggers(connection: BaseDatabaseWrapper) -> tuple[str, ...]:
    """Names of the rules that the database does not hold, or holds in other words than ours."""
    there = _held(connection)
    return tuple(name for name, rule in _wanted(connection.vendor) if there.get(name) != rule)


def _wanted(vendor: str) -> Iterator[tuple[str, str]]:
    """Each rule's name and what the database has to say of it."""
    for statement in statements(vendor):
        if statement.startswith("CREATE TRIGGER"):
            yield statement.split()[2], _bare(statement)


def _held(connection: BaseDatabaseWrapper) -> dict[str, str]:
    """The rules that are in force, by their names; on PostgreSQL those that call our function."""
    if connection.vendor == "sqlite":
        query = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        values: list[str] = []
    else:
        query = (
            "SELECT t.tgname, pg_get_triggerdef(t.oid, true) FROM pg_trigger t"
            " JOIN pg_proc p ON p.oid = t.tgfoid"
            " WHERE NOT t.tgisinternal AND t.tgenabled IN ('O', 'A')"
            " AND p.proname = 'oilwedge_refuse' AND btrim(p.prosrc) = %s"
        )
        values = [_REFUSE]
    with connection.cursor() as cursor:
        cursor.execute(query, values)
        return {str(name): _bare(str(rule)) for name, rule in cursor.fetchall()}


def _bare(statement: str) -> str:
    """A rule without what PostgreSQL adds to it when it tells it again."""
    return _ADDED.sub("", statement.lower())


def tables() -> tuple[str, ...]:
    """The tables with rules, each once."""
    return tuple(dict.fromkeys(rule.table for rule in RULES))


def statements(vendor: str) -> Iterator[str]:
    """The SQL that lays the rules."""
    rules = [rule for rule in RULES if vendor in rule.vendors]
    if vendor == "sqlite":
        for rule in rules:
            when = f" WHEN {rule.when}" if rule.when else ""
            yield f"DROP TRIGGER IF EXISTS {rule.name}"
            yield (
                f"CREATE TRIGGER {rule.name} BEFORE {rule.event} ON {rule.table}"
                f" FOR EACH ROW{when} BEGIN SELECT RAISE(ABORT, '{_quoted(rule.says)}'); END"
            )
        return
    yield (
        "CREATE OR REPLACE FUNCTION oilwedge_refuse() RETURNS trigger LANGUAGE plpgsql AS"
        f" $$ {_REFUSE} $$"
    )
    for rule in rules:
        when = f" WHEN ({rule.when})" if rule.when else ""
        yield f"DROP TRIGGER IF EXISTS {rule.name} ON {rule.table}"
        yield (
            f"CREATE TRIGGER {rule.name} BEFORE {rule.event} ON {rule.table}"
            f" FOR EACH ROW{when} EXECUTE FUNCTION oilwedge_refuse('{_quoted(rule.says)}')"
        )
    for table in tables():
        yield f"DROP TRIGGER IF EXISTS {table}_keeps_truncate ON {table}"
        yield (
            f"CREATE TRIGGER {table}_keeps_truncate BEFORE TRUNCATE ON {table}"
            " FOR EACH STATEMENT EXECUTE FUNCTION oilwedge_refuse('the record is only added to')"
        )


def _quoted(text: str) -> str:
    return text.replace("'", "''")
