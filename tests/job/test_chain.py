"""Whatever is done to a stored record is found, and the entry is named."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from oilwedge.job.chain import ChainFault, ChainFaultKind, KnownHead, Link, check_chain
from oilwedge.job.entry import Event, EventKind
from oilwedge.job.record import EMPTY_HEAD, canonical_text, digest_text, head_after

Kind = ChainFaultKind


def linked(texts: Sequence[str]) -> tuple[Link, ...]:
    links: list[Link] = []
    head = EMPTY_HEAD
    for sequence, text in enumerate(texts, start=1):
        head = head_after(head, digest_text(text))
        links.append(Link(sequence=sequence, entry_id=json.loads(text)["id"], text=text, head=head))
    return tuple(links)


def text_of(key: str, words: str = "as found") -> str:
    return canonical_text(Event(id=key, kind=EventKind.NOTE, subject="block", value=words))


def record(count: int = 6) -> tuple[Link, ...]:
    return linked([text_of(f"b-{n}") for n in range(1, count + 1)])


def check(
    links: Sequence[Link], *, was: Sequence[Link], known: Sequence[KnownHead] = ()
) -> tuple[ChainFault, ...]:
    """Check links against what the job's own row says of the record as it was."""
    head = was[-1].head if was else EMPTY_HEAD
    return check_chain(links=links, count=len(was), head=head, known_heads=known)


def kinds(faults: Sequence[ChainFault]) -> list[tuple[ChainFaultKind, int, int]]:
    return [(fault.kind, fault.first, fault.last) for fault in faults]


def changed(links: Sequence[Link], index: int, **fields: object) -> list[Link]:
    result = list(links)
    result[index] = replace(result[index], **fields)  # type: ignore[arg-type]
    return result


def rewritten(links: Sequence[Link], index: int, text: str) -> list[Link]:
    """The record with one entry rewritten and every head after it made anew."""
    return list(linked([text if i == index else one.text for i, one in enumerate(links)]))


@pytest.mark.parametrize("count", [0, 1, 6])
def test_a_record_as_written_has_no_fault(count: int) -> None:
    links = record(count)
    known = [KnownHead(count=0, head=EMPTY_HEAD, reason="exported")]
    known += [KnownHead(count=one.sequence, head=one.head, reason="printed") for one in links]
    assert check(links, was=links, known=known) == ()
    assert check(links[::-1], was=links, known=known) == ()  # rows come in any order


def test_a_changed_text_is_named_and_no_later_entry_is() -> None:
    links = record()
    (fault,) = check(changed(links, 2, text=text_of("b-3", "smoothed over")), was=links)
    assert (fault.kind, fault.first, fault.last) == (Kind.CHANGED, 3, 3)
    assert fault.sentence == (
        "Entry 3 (b-3: note block smoothed over) no longer gives the head stored with it:"
        " it was changed, or entry 2 was rewritten together with its head."
    )


def test_the_first_entry_has_none_before_it_to_blame() -> None:
    links = record()
    (fault,) = check(changed(links, 0, text=text_of("b-1", "other")), was=links)
    assert fault.sentence.endswith("no longer gives the head stored with it: it was changed.")


def test_two_changed_texts_are_two_faults() -> None:
    links = record()
    both = changed(links, 1, text=text_of("b-2", "x"))
    both = changed(both, 4, text=text_of("b-5", "x"))
    assert kinds(check(both, was=links)) == [(Kind.CHANGED, 2, 2), (Kind.CHANGED, 5, 5)]


@pytest.mark.parametrize("index", range(6))
def test_a_changed_head_is_told_from_a_changed_text(index: int) -> None:
    links = record()
    faults = check(changed(links, index, head=EMPTY_HEAD[::-1]), was=links)
    assert kinds(faults) == [(Kind.HEAD_CHANGED, index + 1, index + 1)]


def test_a_text_that_cannot_be_read_any_more_is_named() -> None:
    links = record()
    (fault,) = check(changed(links, 3, text="{"), was=links)
    assert fault.sentence.startswith("Entry 4 (b-4) no longer gives")


def test_another_id_is_named_with_both() -> None:
    links = record()
    (fault,) = check(changed(links, 3, entry_id="b-9"), was=links)
    assert fault.kind is Kind.OTHER_ID
    assert fault.sentence == "Entry 4 is stored under the id b-9; its text says b-4."


def test_a_gap_is_named_from_end_to_end() -> None:
    links = record()
    (fault,) = check([*links[:2], *links[4:]], was=links)
    assert (fault.kind, fault.first, fault.last) == (Kind.MISSING, 3, 4)
    assert fault.sentence == (
        "Entries 3 to 4 are missing, so that entry 5 behind cannot be checked."
    )


def test_a_removed_beginning_is_a_gap() -> None:
    links = record()
    assert kinds(check(links[1:], was=links)) == [(Kind.MISSING, 1, 1)]


def test_a_cut_off_tail_is_counted() -> None:
    links = record()
    (fault,) = check(links[:4], was=links)
    assert (fault.kind, fault.first, fault.last) == (Kind.CUT_OFF, 5, 6)
    assert fault.sentence == "Entries 5 to 6 are missing at the end."
    assert kinds(check([], was=links)) == [(Kind.CUT_OFF, 1, 6)]


def test_a_tail_cut_off_with_the_row_of_the_job_is_known_by_a_sheet() -> None:
    links = record()
    printed = KnownHead(count=5, head=links[4].head, reason="printed on a sheet on 1 March")
    (fault,) = check(links[:4], was=links[:4], known=[printed])
    assert (fault.kind, fault.first, fault.last) == (Kind.NOT_AS_KNOWN, 5, 5)
    assert "printed on a sheet on 1 March" in fault.sentence
    assert "entry 5 is missing" in fault.sentence


def test_a_whole_record_rewritten_is_known_by_a_sheet_only() -> None:
    links = record()
    forged = rewritten(links, 1, text_of("b-2", "other"))
    assert check(forged, was=forged) == ()
    printed = [
        KnownHead(count=one.sequence, head=one.head, reason="printed")
        for one in (links[0], links[3])
    ]
    assert kinds(check(forged, was=forged, known=printed)) == [(Kind.NOT_AS_KNOWN, 4, 4)]


def test_a_rewritten_end_does_not_fit_the_row_of_the_job() -> None:
    links = record()
    assert kinds(check(rewritten(links, 3, text_of("b-4", "other")), was=links)) == [
        (Kind.WRONG_END, 6, 6)
    ]


def test_a_changed_count_is_told_from_a_changed_record() -> None:
    links = record()
    head = links[-1].head
    (fewer,) = check_chain(links=links, count=4, head=head)
    (more,) = check_chain(links=links, count=8, head=head)
    assert (fewer.kind, more.kind) == (Kind.BEYOND_THE_END, Kind.CUT_OFF)
    assert fewer.sentence == (
        "The job counts 4 and its head is that after entry 6, the last one here: its count was"
        " changed, or entries 5 to 6 are added from outside."
    )
    assert "its count was changed" in more.sentence


def test_an_entry_behind_the_end_is_beyond_it() -> None:
    links = record()
    (told,) = check(links, was=links[:5])
    assert (told.kind, told.first, told.last) == (Kind.BEYOND_THE_END, 6, 6)
    assert told.sentence == "Entry 6 is beyond the 5 that the job counts."


def test_two_entries_at_one_place_are_both_named() -> None:
    links = record()
    forged = replace(links[2], entry_id="b-x", text=text_of("b-x"))
    faults = check([*links, forged], was=links)
    assert kinds(faults) == [(Kind.DOUBLED, 3, 3), (Kind.CHANGED, 3, 3)]
    assert "b-3 and b-x" in faults[0].sentence
    assert "(b-x: note" in faults[1].sentence


def test_an_id_that_comes_twice_is_named() -> None:
    links = linked([text_of("b-1"), text_of("b-2"), text_of("b-1")])
    (fault,) = check(links, was=links)
    assert fault.sentence == "Entry 3 has the id b-1 of entry 1."


def test_a_place_before_the_first_is_none() -> None:
    links = record()
    assert kinds(check(changed(links, 0, sequence=0), was=links))[0] == (Kind.OUT_OF_PLACE, 0, 0)


def test_a_place_far_away_costs_nothing() -> None:
    links = record()
    faults = check(changed(links, 5, sequence=10**12), was=links)
    assert kinds(faults) == [(Kind.MISSING, 6, 6), (Kind.BEYOND_THE_END, 7, 10**12)]


def touches(faults: Sequence[ChainFault], first: int, last: int) -> bool:
    return any(fault.first <= last and first <= fault.last for fault in faults)


RECORDS = st.integers(1, 9).map(record)


@given(links=RECORDS, data=st.data())
def test_any_change_of_one_field_is_named(links: tuple[Link, ...], data: st.DataObject) -> None:
    index = data.draw(st.integers(0, len(links) - 1))
    field = data.draw(st.sampled_from(["entry_id", "text", "head"]))
    value = data.draw(st.text(st.characters(codec="utf-8"), max_size=30))
    assume(value != getattr(links[index], field))
    faults = check(changed(links, index, **{field: value}), was=links)
    assert [(fault.first, fault.last) for fault in faults] == [(index + 1, index + 1)]


@given(links=RECORDS, data=st.data())
def test_any_removed_stretch_is_named_exactly(links: tuple[Link, ...], data: st.DataObject) -> None:
    first = data.draw(st.integers(1, len(links)))
    last = data.draw(st.integers(first, len(links)))
    (fault,) = check([*links[: first - 1], *links[last:]], was=links)
    assert fault.kind in (Kind.MISSING, Kind.CUT_OFF)
    assert (fault.first, fault.last) == (first, last)


@given(links=st.integers(2, 9).map(record), data=st.data())
def test_any_two_entries_that_changed_places_are_named(
    links: tuple[Link, ...], data: st.DataObject
) -> None:
    one, other = data.draw(
        st.lists(st.integers(0, len(links) - 1), min_size=2, max_size=2, unique=True)
    )
    swapped = list(links)
    swapped[one] = replace(links[other], sequence=one + 1)
    swapped[other] = replace(links[one], sequence=other + 1)
    faults = check(swapped, was=links)
    assert touches(faults, one + 1, one + 1)
    assert touches(faults, other + 1, other + 1)
    near = {place + step for place in (one, other) for step in (1, 2)}
    assert {fault.first for fault in faults} <= near  # and nothing further down is


@given(links=RECORDS, data=st.data())
def test_any_entry_slipped_in_is_named(links: tuple[Link, ...], data: st.DataObject) -> None:
    place = data.draw(st.integers(1, len(links) + 1))
    text = text_of("b-new")
    before = links[place - 2].head if place > 1 else EMPTY_HEAD
    new = Link(
        sequence=place,
        entry_id="b-new",
        text=text,
        head=head_after(before, digest_text(text)),  # by someone who knows how
    )
    moved = [replace(one, sequence=one.sequence + 1) for one in links[place - 1 :]]
    faults = check([*links[: place - 1], new, *moved], was=links)
    assert touches(faults, place, place + 1)
    assert touches(faults, len(links) + 1, len(links) + 1)


@given(links=RECORDS, data=st.data())
def test_any_rewriting_is_named_by_the_row_of_the_job_and_by_known_heads(
    links: tuple[Link, ...], data: st.DataObject
) -> None:
    index = data.draw(st.integers(0, len(links) - 1))
    forged = rewritten(links, index, text_of(links[index].entry_id, "other"))
    assert kinds(check(forged, was=links)) == [(Kind.WRONG_END, len(links), len(links))]
    known = [KnownHead(count=one.sequence, head=one.head, reason="printed") for one in links]
    found = check(forged, was=forged, known=known)
    assert [fault.first for fault in found] == list(range(index + 1, len(links) + 1))
