import datetime
from dataclasses import replace
from typing import Any

import pytest

from oilwedge.engine.model import Engine
from oilwedge.errors import InputError
from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.job.record import append
from oilwedge.job.standing import standing
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.shop.model import Shop
from oilwedge.usecases.measuring import AskBack, SentEntry, entries_from, sent_from

NOW = datetime.datetime(2026, 3, 1, 12, 0, tzinfo=datetime.UTC)
MINUTE = datetime.timedelta(minutes=1)
ITEM: dict[str, Any] = {
    "id": "b-1",
    "device_time": "2026-03-01T12:50:00+01:00",
    "author": 7,
    "kind": "reading",
    "feature": "rod_journal",
    "number": 3,
    "place": "front",
    "direction": "across",
    "typed": "972",
    "unit": "mm",
    "resolved": "47.972 mm",
    "instrument": "mic",
    "fitting": 2,
    "setting": "3",
    "replaces": "",
    "confirmed": False,
    "part_c": 21.5,
    "instrument_c": None,
    "note": "burr taken off",
}


class Desk:
    """Takes items as the server does: at noon, from a phone whose clock is 3 minutes fast."""

    def __init__(self, engine: Engine, shop: Shop) -> None:
        self.engine, self.shop = engine, shop
        self.entries: tuple[Entry, ...] = ()

    def take(self, received: datetime.datetime = NOW, **changes: Any) -> tuple[Entry, ...]:
        found = entries_from(
            sent_from({**ITEM, **changes}),
            engine=self.engine,
            shop=self.shop,
            entries=self.entries,
            person="who-1",
            received=received,
            device_now=NOW + 3 * MINUTE,
        )
        self.entries = append(self.entries, found).entries
        return found

    def reading(self, **changes: Any) -> Reading:
        (found,) = self.take(**changes)
        assert isinstance(found, Reading)
        return found

    def event(self, **changes: Any) -> Event:
        found = self.take(**changes)[0]
        assert isinstance(found, Event)
        return found


@pytest.fixture
def desk(bench_engine: Engine, bench_shop: Shop) -> Desk:
    return Desk(bench_engine, bench_shop)


def test_a_reading_keeps_what_was_typed_beside_its_value(desk: Desk) -> None:
    one = desk.reading()
    assert one == Reading(
        id="b-1",
        feature="rod_journal",
        number=3,
        place="front",
        direction="across",
        value_m=0.047972,
        text="972",
        unit="mm",
        instrument="mic",
        person="who-1",
        time=NOW - 13 * MINUTE,  # it waited from 12:50 to 13:03 by the phone's own clock
        device_time=datetime.datetime(2026, 3, 1, 11, 50, tzinfo=datetime.UTC),
        part_temperature_c=21.5,
        fitting=2,
        setting="3",
        note="burr taken off",
    )


def test_a_phone_that_says_it_was_tomorrow_is_not_believed(desk: Desk) -> None:
    late = desk.reading(device_time="2026-03-02T12:00:00+00:00")
    assert late.time == NOW
    assert late.device_time == NOW + datetime.timedelta(days=1)


def test_a_deviation_stays_one(desk: Desk) -> None:
    one = desk.reading(typed="-12", resolved="47.980 − 0.012 = 47.968 mm")
    assert (one.form, one.text) == (ReadingForm.DEVIATION, "-12")
    assert one.value_m == pytest.approx(-12e-6)


def test_a_strip_that_is_wider_than_its_widest_bar_is_a_bound(desk: Desk) -> None:
    one = desk.reading(
        feature="rod_strip",
        direction="",
        typed="wider than the widest bar",
        resolved="",
        instrument="narrow",
    )
    assert (one.bound, one.value_m) == (Bound.AT_MOST, 0.025e-3)


def test_what_the_page_showed_has_to_be_what_the_record_makes_of_it(desk: Desk) -> None:
    desk.take(id="s", kind="size", feature="", subject="rod_journal", value="0.5 mm under")
    with pytest.raises(InputError) as caught:
        desk.take(typed="-12", resolved="47.980 − 0.012 = 47.968 mm")
    assert "the page showed 47.980 − 0.012 = 47.968 mm" in str(caught.value)
    assert "by the record it is 47.480 − 0.012 = 47.468 mm" in str(caught.value)


def test_a_value_that_cannot_be_is_asked_back_and_yes_is_kept_on_record(desk: Desk) -> None:
    with pytest.raises(AskBack, match=r"did you mean inches \(47.98 mm\)\?"):
        desk.take(typed="1.889", resolved="1.889 mm")
    reading, event = desk.take(typed="1.889", resolved="1.889 mm", confirmed=True)
    assert isinstance(event, Event)
    assert (event.id, event.kind, event.value) == ("b-1-confirmed", EventKind.CONFIRMED, "b-1")
    assert event.note.startswith("asked: Rod journal 3, front, across: 1.889 mm cannot be")
    assert event.note.endswith("answered: yes")
    now = standing(engine=desk.engine, entries=desk.entries, instruments={})
    assert reading.id in now.confirmed_ids


def test_confirming_a_value_that_can_be_adds_nothing(desk: Desk) -> None:
    assert len(desk.take(confirmed=True)) == 1


def test_sending_it_twice_gives_back_what_stands_there(desk: Desk) -> None:
    first = desk.take(typed="1.889", resolved="", confirmed=True)
    again = desk.take(typed="1.889", resolved="", confirmed=True, received=NOW + MINUTE)
    assert again == first
    assert len(desk.entries) == 2


def test_an_id_that_stands_for_something_else_is_refused(desk: Desk) -> None:
    desk.take()
    with pytest.raises(InputError, match="this id stands for rod journal 3"):
        desk.take(typed="973", resolved="47.973 mm")


def test_the_second_to_replace_a_reading_is_told_of_the_first(desk: Desk) -> None:
    desk.take()
    desk.take(id="b-2", typed="970", resolved="47.970 mm", replaces="b-1")
    with pytest.raises(InputError) as caught:
        desk.take(id="b-3", typed="971", resolved="47.971 mm", replaces="b-1")
    said = str(caught.value)
    assert "two people replaced the same reading" in said
    assert "972 mm" in said
    assert "970 mm" in said
    assert "971 mm" in said


def test_sending_a_replacement_twice_is_no_quarrel(desk: Desk) -> None:
    desk.take()
    change = {"id": "b-2", "typed": "970", "resolved": "47.970 mm", "replaces": "b-1"}
    assert desk.take(**change) == desk.take(**change)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"feature": "rod_jurnal"}, "did you mean 'rod_journal'?"),
        ({"number": 9}, "numbers 1 to 4"),
        ({"number": None}, "has a number"),
        ({"place": "inside"}, "this is no place"),
        ({"direction": "up"}, "this is no direction"),
        ({"instrument": "mick"}, "did you mean 'mic'?"),
        ({"instrument": "narrow"}, "the shop has no instrument of this name"),
        ({"replaces": "gone"}, "is not in the record"),
        ({"typed": ""}, "There is no value; type one."),
        ({"typed": "5", "resolved": ""}, "this could be 47.975 mm or 47.985 mm"),
        ({"unit": ""}, "the unit is missing"),
        ({"kind": "reeding"}, "an entry is a reading, skip"),
    ],
)
def test_what_cannot_be_taken_is_refused_in_one_sentence(
    desk: Desk, changes: dict[str, Any], words: str
) -> None:
    with pytest.raises(InputError) as caught:
        desk.take(**changes)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)
    assert not isinstance(caught.value, AskBack)
    assert desk.entries == ()


def test_a_reading_of_another_set_cannot_be_replaced(desk: Desk) -> None:
    desk.take()
    with pytest.raises(InputError, match="of another set"):
        desk.take(id="b-2", number=2, replaces="b-1")


def test_skip_zero_check_condition_size_and_work_are_events(desk: Desk) -> None:
    skip = desk.event(id="k", kind="skip", note="oil hole")
    assert (skip.kind, skip.value, skip.note) == (EventKind.SKIPPED, "front, across", "oil hole")
    zero = desk.event(id="z", kind="zero check", value="failed")
    assert (zero.kind, zero.subject, zero.value) == (EventKind.ZERO_CHECK, "mic", "failed")
    now = desk.event(id="c", kind="condition", subject="rod_journals", number=None, value="r")
    assert (now.kind, now.value, now.number) == (EventKind.CONDITION, "re-used", None)
    size = desk.event(id="s", kind="size", subject="rod_journal", value="0.25 mm under")
    assert (size.kind, size.step_m) == (EventKind.SIZE, 0.25e-3)
    work = desk.event(id="w", kind="work", subject="rod_journals", value="ground to 0.5 mm under")
    assert (work.work, work.step_m) == (WorkKind.GROUND, 0.5e-3)
    assert {one.person for one in desk.entries} == {"who-1"}
    assert {one.time for one in desk.entries} == {NOW - 13 * MINUTE}


@pytest.mark.parametrize(
    "changes",
    [
        {"kind": "zero check", "value": "passed", "instrument": ""},
        {"kind": "zero check", "value": "perhaps"},
        {"kind": "condition", "subject": "rods", "value": "shiny"},
        {"kind": "condition", "subject": "wheels", "value": "new"},
        {"kind": "size", "subject": "rod_journal", "number": 9, "value": "standard"},
        {"kind": "work", "subject": "rods", "value": "kissed"},
        {"kind": "skip", "place": "inside"},
    ],
)
def test_events_that_say_nothing_are_refused(desk: Desk, changes: dict[str, Any]) -> None:
    with pytest.raises(InputError):
        desk.take(**changes)


@pytest.mark.parametrize(
    "document",
    [
        [],
        {**ITEM, "id": ""},
        {**ITEM, "id": 3},
        {**ITEM, "colour": "red"},
        {**ITEM, "number": "3"},
        {**ITEM, "number": True},
        {**ITEM, "confirmed": "yes"},
        {**ITEM, "part_c": "warm"},
        {**ITEM, "part_c": float("nan")},
        {**ITEM, "part_c": 1000},
        {**ITEM, "device_time": "2026-03-01T12:00:00"},
        {**ITEM, "device_time": None},
        {**ITEM, "device_time": "0001-01-01T00:00:00+14:00"},
        {**ITEM, "note": "x" * 501},
        {**ITEM, "note": "\ud800"},
        {**ITEM, "fitting": 0},
    ],
)
def test_a_document_that_is_no_entry_is_refused(document: object) -> None:
    with pytest.raises(InputError):
        sent_from(document)


def test_a_document_becomes_the_item_that_it_says() -> None:
    found = sent_from(ITEM)
    assert found.author == "7"
    assert found.device_time == datetime.datetime(2026, 3, 1, 11, 50, tzinfo=datetime.UTC)
    assert replace(found, note="") == replace(sent_from({**ITEM, "note": ""}))
    assert SentEntry(id="x", kind="skip", device_time=NOW).setting == "1"
