import datetime
import hashlib
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import JobFileError
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.job.record import (
    append,
    canonical_text,
    closed_by,
    current_readings,
    deduplicate,
    describe,
    digest,
    digest_text,
    effective_times,
    head,
    head_after,
    in_effective_order,
)
from oilwedge.metrology.reading import Reading

# As an earlier version wrote the entries of the fixture.
OLD_TEXTS = (
    '{"entry":"event","id":"e1","kind":"size","step_m":0.0,"subject":"rod_journal",'
    '"v":1,"value":"standard"}',
    '{"direction":"across","entry":"reading","feature":"rod_journal","fitting":1,'
    '"form":"absolute","id":"r1","instrument":"mic2","note":"µ and “quotes”",'
    '"number":3,"part_temperature_c":21.5,"person":"Ada","place":"rear",'
    '"setting":"1","text":"47,972","time":"2026-03-01T12:00:00+00:00","unit":"mm",'
    '"v":1,"value_m":0.047972}',
    '{"bound":"at_most","entry":"reading","feature":"rod_strip","fitting":1,'
    '"form":"absolute","id":"r2","number":1,"setting":"1",'
    '"text":"wider than the widest bar","unit":"mm","v":1,"value_m":2.5e-05}',
    '{"entry":"event","id":"e2","kind":"work","number":3,"step_m":0.00025,'
    '"subject":"rod_journals","time":"2026-03-01T13:00:00+00:00","v":1,'
    '"value":"ground to 0.25 mm under","work":"ground"}',
)


def reading(key: str, **changes: object) -> Reading:
    plain = Reading(id=key, feature="rod_journal", number=1, value_m=0.048, text="48.0", unit="mm")
    return replace(plain, **changes)  # type: ignore[arg-type]


def at(hour: int, zone: datetime.tzinfo | None = datetime.UTC) -> datetime.datetime:
    return datetime.datetime(2026, 3, 1, hour, tzinfo=zone)


def test_the_same_entries_twice_add_nothing(entries: tuple[Entry, ...]) -> None:
    again = append(entries, entries)
    assert again.entries == entries
    assert again.added == ()
    assert again.already_there == entries


def test_where_a_reading_came_from_and_how_it_was_written_are_not_its_content() -> None:
    other = reading("a", origin="book:7", text="48.000")
    assert append([reading("a")], [other]).added == ()


def test_the_same_id_with_other_content_names_both() -> None:
    old = reading("a", origin="one:2")
    new = reading("a", value_m=0.0481, text="48.1", origin="two:9")
    with pytest.raises(JobFileError) as caught:
        append([old], [reading("b"), new])
    sentence = str(caught.value)
    assert "rod journal 1 48.0 mm (from one:2)" in sentence
    assert "rod journal 1 48.1 mm (from two:9)" in sentence


def test_every_clash_is_told() -> None:
    new = [reading("a", value_m=0.1), reading("b", number=2)]
    with pytest.raises(JobFileError) as caught:
        append([reading("a"), reading("b")], new)
    assert len(caught.value.faults) == 2


def test_a_replaced_reading_stays_on_record_and_stops_standing() -> None:
    old, new = reading("a"), reading("b", replaces="a")
    record = append([old], [new]).entries
    assert record == (old, new)
    assert current_readings(record) == (new,)


@pytest.mark.parametrize("name", ["nobody", "b"])
def test_a_reading_can_only_replace_one_that_is_there(name: str) -> None:
    with pytest.raises(JobFileError, match="not in the record"):
        append([reading("a")], [reading("b", replaces=name)])


def test_time_runs_on_from_the_entry_before() -> None:
    record = (reading("a"), reading("b", time=at(9)), reading("c"), reading("d", time=at(8)))
    assert effective_times(record) == (None, at(9), at(9), at(8))
    assert [entry.id for entry in in_effective_order(record)] == ["a", "d", "b", "c"]


def test_without_a_zone_the_clock_on_the_wall_counts() -> None:
    east = datetime.timezone(datetime.timedelta(hours=5))
    record = (reading("a", time=at(10, None)), reading("b", time=at(9, east)))
    assert [entry.id for entry in in_effective_order(record)] == ["b", "a"]


def test_with_zones_the_instant_counts() -> None:
    west = datetime.timezone(datetime.timedelta(hours=-5))
    record = (reading("a", time=at(9, west)), reading("b", time=at(10)))
    assert [entry.id for entry in in_effective_order(record)] == ["b", "a"]


@given(hours=st.lists(st.none() | st.integers(0, 23), max_size=12))
def test_ordering_loses_nothing_and_is_stable(hours: list[int | None]) -> None:
    record = tuple(
        reading(str(i), time=None if hour is None else at(hour)) for i, hour in enumerate(hours)
    )
    ordered = in_effective_order(record)
    assert sorted(ordered, key=lambda entry: int(entry.id)) == list(record)
    assert in_effective_order(record[:1]) == record[:1]


def test_the_canonical_text_has_its_keys_in_order_and_no_blanks() -> None:
    assert canonical_text(reading("a", note="µ “x”")) == (
        '{"entry":"reading","feature":"rod_journal","fitting":1,"form":"absolute","id":"a",'
        '"note":"µ “x”","number":1,"setting":"1","text":"48.0","unit":"mm","v":1,"value_m":0.048}'
    )


def test_the_digest_is_the_sha_256_of_the_canonical_text() -> None:
    # FIPS 180-4, example of the one-block message "abc" (RECALLED)
    abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert digest_text("abc") == abc
    assert digest_text("µ") == hashlib.sha256("µ".encode()).hexdigest()
    assert digest(reading("a")) == digest_text(canonical_text(reading("a")))


def test_one_more_entry_gives_the_next_head(entries: tuple[Entry, ...]) -> None:
    assert head_after(head(entries[:3]), digest(entries[3])) == head(entries)


def test_the_head_of_an_older_record_stays_what_it_was(entries: tuple[Entry, ...]) -> None:
    # The documents as they were written before entries could carry the time of a device,
    # digested here by hand: what is stored must never get another head.
    chain = hashlib.sha256(b"").hexdigest()
    for text in OLD_TEXTS:
        chain = hashlib.sha256(
            (chain + hashlib.sha256(text.encode()).hexdigest()).encode()
        ).hexdigest()
    assert head(entries) == chain


def test_the_time_worked_out_anew_on_sending_is_not_content() -> None:
    sent = reading("a", time=at(9), device_time=at(3))
    assert append([sent], [reading("a", time=at(10), device_time=at(3))]).added == ()
    with pytest.raises(JobFileError):
        append([sent], [reading("a", time=at(9), device_time=at(4))])
    with pytest.raises(JobFileError):
        append([reading("a", time=at(9))], [reading("a", time=at(10))])


def test_a_job_is_closed_until_it_is_opened_again() -> None:
    closed = Event(id="c", kind=EventKind.CLOSED, time=at(9))
    early = Event(id="o", kind=EventKind.REOPENED, time=at(8))  # the record counts, not the clock
    assert closed_by([reading("a")]) is None
    assert closed_by([closed, reading("a")]) is closed
    assert closed_by([closed, early]) is None
    again = replace(closed, id="d")
    assert closed_by([closed, early, again]) is again


def test_the_head_follows_its_definition(entries: tuple[Entry, ...]) -> None:
    chain = hashlib.sha256(b"").hexdigest()
    for entry in entries:
        chain = hashlib.sha256((chain + digest(entry)).encode()).hexdigest()
    assert head(entries) == chain
    assert head(entries[2:], after=head(entries[:2])) == chain


def test_any_change_changes_the_head(entries: tuple[Entry, ...]) -> None:
    event = Event(id="e1", kind=EventKind.SIZE, subject="rod_journal", value="standard")
    assert head(entries) != head((event, *entries[1:]))
    assert head(entries) != head(entries[::-1])


def test_deduplicating_keeps_the_first(entries: tuple[Entry, ...]) -> None:
    assert deduplicate([*entries, *entries[:2]]) == entries


def test_an_event_is_described_in_words(entries: tuple[Entry, ...]) -> None:
    assert describe(entries[3]) == "work rod journals 3 ground to 0.25 mm under"
