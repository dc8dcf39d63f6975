import datetime
import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import JobFileError
from oilwedge.job.codec import entry_from_document, entry_to_document
from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.metrology.reading import Bound, Reading, ReadingForm

TEXT = st.text(st.characters(codec="utf-8"), max_size=12)
FLOATS = st.floats(allow_nan=False, allow_infinity=False)
EAST = datetime.timezone(datetime.timedelta(hours=5.5))
CLOCK = st.datetimes(
    min_value=datetime.datetime(1990, 1, 1), max_value=datetime.datetime(2090, 1, 1)
)
TIMES = st.none() | CLOCK | CLOCK.map(lambda time: time.replace(tzinfo=EAST))
READINGS = st.builds(
    Reading,
    id=TEXT,
    feature=TEXT,
    number=st.integers(1, 99),
    place=TEXT,
    direction=TEXT,
    value_m=FLOATS,
    form=st.sampled_from(ReadingForm),
    bound=st.sampled_from(Bound),
    text=TEXT,
    unit=TEXT,
    time=TIMES,
    part_temperature_c=st.none() | FLOATS,
    instrument_temperature_c=st.none() | FLOATS,
    device_time=TIMES,
    fitting=st.integers(1, 9),
    setting=st.just("2"),
    note=TEXT,
)
EVENTS = st.builds(
    Event,
    id=TEXT,
    kind=st.sampled_from(EventKind),
    subject=TEXT,
    number=st.none() | st.integers(1, 99),
    value=TEXT,
    step_m=st.none() | FLOATS,
    work=st.none() | st.sampled_from(WorkKind),
    time=TIMES,
    device_time=TIMES,
)


@given(entry=READINGS | EVENTS)
def test_an_entry_survives_the_way_through_json(entry: Entry) -> None:
    text = json.dumps(entry_to_document(entry), ensure_ascii=False)
    assert entry_from_document(json.loads(text)) == entry


def test_a_reading_keeps_text_and_unit_as_typed(entries: tuple[Entry, ...]) -> None:
    document = entry_to_document(entries[1])
    assert document["text"] == "47,972"
    assert document["unit"] == "mm"
    assert document["v"] == 1


def test_an_older_document_is_brought_up_to_date(entries: tuple[Entry, ...]) -> None:
    old = entry_to_document(entries[1])
    old["value_mm"] = old.pop("value_m") * 1000.0
    old["v"] = 1

    def to_2(document: dict[str, object]) -> dict[str, object]:
        value = document["value_mm"]
        assert isinstance(value, float)
        return document | {"value_m": value / 1000.0}

    entry = entry_from_document(old, upgrades={1: to_2}, version=2)
    assert isinstance(entry, Reading)
    assert entry.value_m == pytest.approx(0.047972, rel=1e-12)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"v": 9}, "take a newer oilwedge"),
        ({"v": "x"}, "'v' is the version"),
        ({"value_m": "big"}, "'value_m' is a number"),
        ({"value_m": float("nan")}, "'value_m' is a number"),
        ({"number": 0}, "'number' is a whole number from 1 up"),
        ({"number": True}, "'number' is a whole number from 1 up"),
        ({"form": "guess"}, "'form' is one of absolute"),
        ({"time": "noon"}, "'time' is written like"),
        ({"entry": "wish"}, "'reading' or an 'event'"),
        ({"id": 7}, "'id' is a text"),
        ({"note": "\ud83d"}, "'note' is a text of whole characters"),
        ({"value_m": 10**400}, "'value_m' is a number"),
        ({"time": "0001-01-01T00:00:00+09:00"}, "'time' is written like"),
        ({"device_time": "noon"}, "'device_time' is written like"),
    ],
)
def test_a_bad_document_gets_one_sentence(
    entries: tuple[Entry, ...], change: dict[str, object], words: str
) -> None:
    with pytest.raises(JobFileError) as caught:
        entry_from_document(entry_to_document(entries[1]) | change)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_the_time_of_the_device_is_written_only_when_there_is_one(
    entries: tuple[Entry, ...],
) -> None:
    assert not any("device_time" in entry_to_document(entry) for entry in entries)
    wrong_by_hours = datetime.datetime(2026, 3, 1, 3, tzinfo=EAST)
    for entry in (entries[1], entries[3]):
        document = entry_to_document(replace(entry, device_time=wrong_by_hours))
        assert document["device_time"] == "2026-03-01T03:00:00+05:30"
        assert document["time"] == entry_to_document(entry)["time"]


def test_a_missing_field_is_named(entries: tuple[Entry, ...]) -> None:
    document = entry_to_document(entries[1])
    del document["feature"]
    with pytest.raises(JobFileError, match="has no 'feature'"):
        entry_from_document(document)


def test_a_list_is_no_entry() -> None:
    with pytest.raises(JobFileError, match="JSON object"):
        entry_from_document([1, 2])
