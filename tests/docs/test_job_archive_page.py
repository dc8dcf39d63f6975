"""The page on the job archive tells the truth: its example is an archive, its lists are whole."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from oilwedge.job.archive import ArchiveLimits, JobArchive, PhotoFormat
from oilwedge.job.exchange import read_archive, write_archive
from oilwedge.job.record import digest_text

Blocks = Callable[[str, str], list[str]]
FirstCells = Callable[[str, str], list[str]]
DOCS = Path(__file__).parents[2] / "docs"
PAGE = "formats/job-archive.md"


@pytest.fixture
def page_files(blocks: Blocks) -> dict[str, str]:
    """The files of the example, by name."""
    (manifest,) = blocks(PAGE, "json manifest")
    (entries,) = blocks(PAGE, "json-lines")
    (personal,) = blocks(PAGE, "json personal")
    (engine,) = blocks(PAGE, "toml")
    return {
        "manifest.json": manifest,
        "entries.jsonl": entries,
        "personal.json": personal,
        f"engines/{digest_text(engine)}.toml": engine,
    }


@pytest.fixture
def page_archive(page_files: dict[str, str]) -> JobArchive:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as target:
        for name, text in page_files.items():
            target.writestr(name, text)
    return read_archive(buffer.getvalue(), limits=ArchiveLimits())


def test_the_example_is_an_archive(page_archive: JobArchive) -> None:
    assert page_archive.header.number == "heron-1"
    assert page_archive.personal[0].text == "Ada"
    assert page_archive.entries[1].person == page_archive.personal[0].commitment


def test_the_example_is_what_oilwedge_writes(
    page_archive: JobArchive, page_files: dict[str, str]
) -> None:
    with zipfile.ZipFile(io.BytesIO(write_archive(page_archive))) as source:
        assert {name: source.read(name).decode() for name in source.namelist()} == page_files


def test_every_key_is_listed(page_files: dict[str, str], first_cells: FirstCells) -> None:
    manifest = json.loads(page_files["manifest.json"])
    assert first_cells(PAGE, "## The manifest") == list(manifest)
    (one,) = json.loads(page_files["personal.json"])
    assert first_cells(PAGE, "## The names") == list(one)


def test_every_file_is_listed(page_files: dict[str, str], first_cells: FirstCells) -> None:
    listed = first_cells(PAGE, "## The files")
    kinds = {name.replace(name[8:72], "<digest>") if "/" in name else name for name in page_files}
    assert kinds <= set(listed)
    assert len(listed) == 6


def test_every_kind_of_picture_is_named() -> None:
    text = (DOCS / PAGE).read_text(encoding="utf-8")
    assert all(f".{one.value}`" in text for one in PhotoFormat)


def test_the_limits_are_those_of_the_code() -> None:
    section = (
        (DOCS / PAGE).read_text(encoding="utf-8").partition("### Limits\n")[2].partition("\n#")[0]
    )
    rows = [line.split("|")[2].strip() for line in section.splitlines() if "|" in line][2:]
    limits = ArchiveLimits()
    assert rows == [
        f"{limits.packed // 1_000_000} MB",
        f"{limits.unpacked // 1_000_000} MB",
        f"{limits.one_file // 1_000_000} MB",
        f"{limits.files:,}",
        f"{limits.ratio} times",
        f"{limits.entries:,}",
    ]
