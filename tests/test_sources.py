"""The bibliography."""

from __future__ import annotations

import pytest

from oilwedge.errors import UnknownNameError
from oilwedge.sources import SOURCES, Status, source


@pytest.mark.parametrize("key", sorted(SOURCES))
def test_every_entry_is_complete(key: str) -> None:
    entry = source(key)
    assert entry.key == key
    assert entry.author
    assert entry.title
    assert entry.publisher
    assert 1900 < entry.year < 2100


def test_a_document_that_was_only_in_part_opened_says_which_part() -> None:
    assert all(entry.notes for entry in SOURCES.values() if entry.status is Status.READ)


def test_a_source_prints_in_one_line() -> None:
    text = str(source("CALLISTER"))
    assert text.startswith("Callister, W. D. (2007). Materials Science")
    assert text.endswith("Wiley.")


def test_an_unknown_key_asks_back() -> None:
    with pytest.raises(UnknownNameError) as caught:
        source("JCGM-100")
    assert str(caught.value) == (
        "Given 'JCGM-100'; this is no key of the bibliography; did you mean 'JCGM100'?"
    )


def test_the_bibliography_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        SOURCES["x"] = source("GTC")  # type: ignore[index]
