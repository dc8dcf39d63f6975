"""What is added is stored once, in one chain, or not at all."""

from __future__ import annotations

import threading
from collections.abc import Callable

import pytest
from django.db import connection, connections
from record_entries import event, reading

from oilwedge.errors import JobFileError
from oilwedge.job.chain import Link, check_chain
from oilwedge.job.entry import EventKind
from oilwedge.web.people.models import Account
from oilwedge.web.record.models import Job, JobEntry, PersonalDatum
from oilwedge.web.record.store import (
    ClosedJobError,
    RecordError,
    ReplacedAlreadyError,
    append_entries,
    commitment_for,
    entries_of,
    open_job,
    people_of,
)

MakeJob = Callable[..., Job]


def chain_faults(job: Job) -> tuple[object, ...]:
    job.refresh_from_db()
    rows = job.entries.order_by("sequence")
    links = [
        Link(sequence=row.sequence, entry_id=row.entry_id, text=row.document, head=row.head)
        for row in rows
    ]
    return check_chain(links=links, count=job.count, head=job.head)


@pytest.mark.django_db
def test_an_entry_sent_twice_is_stored_once(make_job: MakeJob) -> None:
    job = make_job()
    append_entries(job=job, entries=(reading("r1"),))
    again = append_entries(job=job, entries=(reading("r1"), reading("r2")))
    assert [entry.id for entry in again.already_there] == ["r1"]
    assert [entry.id for entry in again.added] == ["r2"]
    assert [entry.id for entry in entries_of(job)][1:] == ["r1", "r2"]
    assert chain_faults(job) == ()


@pytest.mark.django_db
def test_the_same_id_with_other_content_is_refused_and_nothing_is_added(make_job: MakeJob) -> None:
    job = make_job()
    append_entries(job=job, entries=(reading("r1"),))
    with pytest.raises(JobFileError, match="r1"):
        append_entries(job=job, entries=(reading("r2"), reading("r1", text="47.900")))
    assert job.entries.count() == job.count == 2
    assert chain_faults(job) == ()


@pytest.mark.django_db
def test_a_reading_is_replaced_once_and_the_second_hears_by_which(make_job: MakeJob) -> None:
    job = make_job()
    append_entries(job=job, entries=(reading("r1"),))
    append_entries(job=job, entries=(reading("r2", text="47.97", replaces="r1"),))
    with pytest.raises(ReplacedAlreadyError, match=r"replaced already.*\(r2\)"):
        append_entries(job=job, entries=(reading("r3", text="47.96", replaces="r1"),))
    append_entries(job=job, entries=(reading("r2", text="47.97", replaces="r1"),))  # sent again
    append_entries(job=job, entries=(reading("r4", text="47.96", replaces="r2"),))
    with pytest.raises(ReplacedAlreadyError):
        append_entries(
            job=job, entries=(reading("r5", replaces="r4"), reading("r6", replaces="r4"))
        )
    assert [entry.id for entry in entries_of(job)][1:] == ["r1", "r2", "r4"]


@pytest.mark.django_db
def test_a_replaced_reading_must_be_in_the_same_job(make_job: MakeJob) -> None:
    one, other = make_job("J1"), make_job("J2")
    append_entries(job=one, entries=(reading("r1"),))
    with pytest.raises(JobFileError, match="not in the record"):
        append_entries(job=other, entries=(reading("r2", replaces="r1"),))


@pytest.mark.django_db
def test_a_closed_job_takes_only_its_reopening(make_job: MakeJob) -> None:
    job = make_job()
    append_entries(job=job, entries=(reading("r1"), event(EventKind.CLOSED)))
    assert job.closed
    with pytest.raises(ClosedJobError, match="closed"):
        append_entries(job=job, entries=(reading("r2"),))
    append_entries(job=job, entries=(reading("r1"),))  # there already: no news
    append_entries(job=job, entries=(event(EventKind.REOPENED, "e2"), reading("r2")))
    assert not job.closed
    assert Job.objects.get(pk=job.pk).count == 5


@pytest.mark.django_db
def test_a_number_is_taken_once(make_job: MakeJob) -> None:
    job = make_job("J1")
    with pytest.raises(JobFileError, match="J1"):
        open_job(number="J1", engine=job.engine)
    assert open_job(number="", engine=job.engine).serial == 2


@pytest.mark.django_db
def test_a_person_has_one_commitment_in_a_job_and_another_in_the_next(
    make_job: MakeJob, people: dict[str, Account]
) -> None:
    one, other = make_job("J1"), make_job("J2")
    ben = people["ben"]
    commitment = commitment_for(job=one, account=ben)
    assert commitment_for(job=one, account=ben) == commitment
    assert commitment_for(job=other, account=ben) != commitment
    assert people_of(one) == {commitment: "Ben Invented"}


def in_threads(count: int, work: Callable[[int], None]) -> list[Exception]:
    """Run it in so many threads at once, each with its own connection; gives what was raised."""
    raised: list[Exception] = []
    ready = threading.Barrier(count)

    def run(number: int) -> None:
        try:
            ready.wait()
            work(number)
        except Exception as error:
            raised.append(error)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=(number,)) for number in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return raised


@pytest.mark.django_db(transaction=True)
def test_threads_that_append_at_once_leave_one_whole_chain(make_job: MakeJob) -> None:
    job = make_job()

    def work(number: int) -> None:
        for index in range(12):
            mine = Job.objects.get(pk=job.pk)
            append_entries(job=mine, entries=(reading(f"t{number}-{index}"), reading("shared")))

    assert in_threads(4, work) == []
    assert chain_faults(job) == ()
    assert job.count == 1 + 4 * 12 + 1
    assert {f"t{n}-{i}" for n in range(4) for i in range(12)} <= {e.id for e in entries_of(job)}


@pytest.mark.django_db(transaction=True)
def test_two_who_replace_the_same_reading_at_once_do_not_both_succeed(make_job: MakeJob) -> None:
    job = make_job()
    append_entries(job=job, entries=(reading("r1"),))

    def work(number: int) -> None:
        mine = Job.objects.get(pk=job.pk)
        append_entries(job=mine, entries=(reading(f"n{number}", replaces="r1"),))

    raised = in_threads(4, work)
    assert [type(error) for error in raised] == [ReplacedAlreadyError] * 3
    assert chain_faults(job) == ()


@pytest.mark.django_db(transaction=True)
def test_jobs_opened_at_once_get_serials_without_a_gap(make_job: MakeJob) -> None:
    engine = make_job("J1").engine
    assert in_threads(4, lambda number: void(open_job(number=f"K{number}", engine=engine))) == []
    assert list(Job.objects.order_by("serial").values_list("serial", flat=True)) == [1, 2, 3, 4, 5]


@pytest.mark.django_db(transaction=True)
def test_commitments_asked_for_at_once_are_one(
    make_job: MakeJob, people: dict[str, Account]
) -> None:
    job = make_job()
    ben = people["ben"]
    assert in_threads(4, lambda _: void(commitment_for(job=job, account=ben))) == []
    assert PersonalDatum.objects.filter(job=job).count() == 1


def void(_: object) -> None:
    """Throw a result away."""


@pytest.mark.django_db(transaction=True)
def test_a_record_that_somebody_else_holds_says_that_it_is_busy(make_job: MakeJob) -> None:
    job = make_job()
    held, free = threading.Event(), threading.Event()

    def hold() -> None:
        try:
            with connections["default"].cursor() as cursor:
                cursor.execute("BEGIN")
                cursor.execute("UPDATE record_job SET title = 'held' WHERE id = %s", [job.pk])
                held.set()
                free.wait(10)
                cursor.execute("ROLLBACK")
        finally:
            held.set()
            connections.close_all()

    holder = threading.Thread(target=hold)
    holder.start()
    held.wait(10)
    try:
        with connection.cursor() as cursor:
            if connection.vendor == "sqlite":
                cursor.execute("PRAGMA busy_timeout = 50")
            else:
                cursor.execute("SET lock_timeout = '50ms'")
        with pytest.raises(RecordError, match="busy"):
            append_entries(job=job, entries=(reading("r1"),))
    finally:
        free.set()
        holder.join()
        connection.close()
    assert chain_faults(job) == ()
    assert job.count == 1


@pytest.mark.django_db(transaction=True)
def test_a_database_that_is_gone_says_so_and_the_next_try_is_good(make_job: MakeJob) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("SQLite is a file and no server")
    job = make_job()

    def end_the_server_process() -> None:
        with connections["default"].cursor() as cursor:
            cursor.execute("SELECT pg_terminate_backend(%s)", [pid])
        connections.close_all()

    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid()")
        pid = cursor.fetchone()[0]
    thread = threading.Thread(target=end_the_server_process)
    thread.start()
    thread.join()
    with pytest.raises(RecordError, match="cannot be reached"):
        append_entries(job=job, entries=(reading("r1"),))
    connection.close()  # as the server does before the next request
    append_entries(job=job, entries=(reading("r1"),))
    assert chain_faults(job) == ()


@pytest.mark.django_db
@pytest.mark.parametrize("id", ["", "x" * 81, "a\x00b", "a\nb"])
def test_an_id_that_does_not_fit_is_refused_alike_on_both(make_job: MakeJob, id: str) -> None:
    job = make_job()
    with pytest.raises(JobFileError, match="1 to 80 characters"):
        append_entries(job=job, entries=(reading(id),))
    assert job.entries.count() == 1


@pytest.mark.django_db
def test_any_text_of_a_note_is_kept_as_it_was(make_job: MakeJob) -> None:
    job = make_job()
    note = "a\x00b \u2028 µ 😀 ' \" \\"
    append_entries(job=job, entries=(reading("r1", note=note),))
    assert entries_of(job)[-1].note == note
    assert chain_faults(job) == ()


@pytest.mark.django_db(transaction=True)
def test_a_full_disk_stores_nothing_by_halves(make_job: MakeJob) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("only SQLite can be told how large it may become")
    job = make_job()
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA page_count")
        pages = cursor.fetchone()[0]
        cursor.execute(f"PRAGMA max_page_count = {pages}")
    many = tuple(reading(f"r{number}", note="n" * 2000) for number in range(500))
    try:
        with pytest.raises(RecordError, match="disk of the shop's machine is full"):
            append_entries(job=job, entries=many)
    finally:
        connection.close()
    assert chain_faults(job) == ()
    assert job.count == JobEntry.objects.filter(job=job).count() == 1
    append_entries(job=job, entries=many[:2])
    assert job.count == 3


@pytest.mark.django_db(transaction=True)
def test_a_record_that_may_not_be_written_to_says_so(make_job: MakeJob) -> None:
    job = make_job()
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA query_only = ON")
        else:
            cursor.execute("SET default_transaction_read_only = on")
    try:
        with pytest.raises(RecordError, match="may not be written to"):
            append_entries(job=job, entries=(reading("r1"),))
    finally:
        connection.close()
