"""A job travels whole, the same bytes each time; what does not hold together is not taken."""

from __future__ import annotations

import datetime
import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import JobFileError
from oilwedge.job.archive import (
    ArchivedPhoto,
    ArchiveLimits,
    JobArchive,
    PersonalText,
    PhotoFormat,
    WhoseName,
)
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.job.exchange import Unpacked, read_archive, write_archive
from oilwedge.job.header import JobHeader
from oilwedge.job.personal import commit
from oilwedge.job.record import canonical_text, digest_text, head

Change = Callable[[dict[str, bytes]], None]
FIRST, SECOND = 'format = 1 # "Wren two"\n', "format = 1 # second µ\n"
PICTURE = b"\xff\xd8\xff\xe0 an invented picture"
SALT = "0f" * 16
ADA = commit(text="Ada", salt=SALT)
GONE = commit(text="Ben", salt="1f" * 16)


def sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


@pytest.fixture
def archive(entries: tuple[Entry, ...]) -> JobArchive:
    more = (
        Event(id="e7", kind=EventKind.ENGINE, value=digest_text(SECOND), person=ADA),
        Event(id="e8", kind=EventKind.PHOTO, value=sha(PICTURE), subject="rod_journals", number=3),
        Event(id="e9", kind=EventKind.PHOTO, value="0" * 64, note="its file is lost"),
    )
    return JobArchive(
        header=JobHeader(
            number="wren-1",
            engine_name="Wren two (invented)",
            engine_digest=digest_text(FIRST),
            created=datetime.datetime(2026, 3, 1, 9, tzinfo=datetime.UTC),
        ),
        title="Overhaul of the µ engine",
        oilwedge_version="0.1.0",
        entries=(*entries, *more),
        engine_texts=tuple(sorted((FIRST, SECOND), key=digest_text)),
        photos=(ArchivedPhoto(sha256=sha(PICTURE), format=PhotoFormat.JPEG, data=PICTURE),),
        personal=(
            PersonalText(commitment=ADA, salt=SALT, text="Ada", kind=WhoseName.PERSON),
            PersonalText(commitment=GONE, salt="", text="", kind=WhoseName.OWNER),
        ),
        sheet_pdf=b"%PDF-1.7 an invented sheet",
    )


def read(data: bytes, **changes: Any) -> JobArchive:
    return read_archive(data, limits=ArchiveLimits(), **changes)


def files_of(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as source:
        return {name: source.read(name) for name in source.namelist()}


def zipped(files: Mapping[str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as target:
        for name, data in files.items():
            target.writestr(name, data)
    return buffer.getvalue()


def listed_anew(files: dict[str, bytes], **said: object) -> bytes:
    """The files as a zip whose manifest lists them as they are now: a forger knows how."""
    manifest = json.loads(files["manifest.json"]) | said
    manifest["files"] = {
        name: {"size": len(data), "sha256": sha(data)}
        for name, data in files.items()
        if name != "manifest.json"
    }
    return zipped(files | {"manifest.json": json.dumps(manifest).encode()})


def sentence(data: bytes, **changes: Any) -> str:
    with pytest.raises(JobFileError) as caught:
        read(data, **changes)
    assert len(caught.value.faults) == 1
    text = str(caught.value)
    assert "\n" not in text
    return text


# --- there and back -------------------------------------------------------------------------


def test_a_job_comes_back_whole(archive: JobArchive) -> None:
    back = read(write_archive(archive))
    assert back == archive
    assert back.engine_text == SECOND
    assert (back.count, back.head) == (7, head(archive.entries))
    assert back.photos[0].format.media_type == "image/jpeg"


def test_the_same_job_gives_the_same_bytes(archive: JobArchive) -> None:
    assert write_archive(archive) == write_archive(replace(archive))
    names = list(files_of(write_archive(archive)))
    assert names == ["manifest.json", *sorted(names[1:])]
    with zipfile.ZipFile(io.BytesIO(write_archive(archive))) as source:
        assert {info.date_time for info in source.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {info.compress_type for info in source.infolist()} == {zipfile.ZIP_STORED}


def test_names_and_sheet_may_stay_at_home(archive: JobArchive) -> None:
    bare = replace(archive, personal=(), sheet_pdf=None, photos=())
    data = write_archive(bare)
    assert not {"personal.json", "build-sheet.pdf"} & set(files_of(data))
    assert b"Ada" not in data.replace(b'"person":"Ada"', b"")
    assert read(data) == bare


def test_an_archive_zipped_again_by_hand_is_read(archive: JobArchive) -> None:
    files = files_of(write_archive(archive))
    assert read(zipped({"engines/": b"", "photos/": b""} | files)) == archive


def test_a_job_without_entries_travels_too() -> None:
    header = JobHeader(number="1", engine_digest=digest_text(FIRST))
    empty = JobArchive(header=header, entries=(), engine_texts=(FIRST,))
    assert read(write_archive(empty)) == empty
    assert empty.engine_text == FIRST


def test_nothing_leaves_that_could_not_be_read_again(archive: JobArchive) -> None:
    with pytest.raises(JobFileError, match="engine file that is not there"):
        write_archive(replace(archive, engine_texts=(FIRST,)))


def test_the_manifest_gives_head_and_files(archive: JobArchive) -> None:
    files = files_of(write_archive(archive))
    manifest = json.loads(files["manifest.json"])
    assert (manifest["count"], manifest["head"]) == (7, head(archive.entries))
    assert manifest["files"].keys() == files.keys() - {"manifest.json"}
    lines = files["entries.jsonl"].decode().splitlines()
    assert lines == [canonical_text(entry) for entry in archive.entries]


# --- versions -------------------------------------------------------------------------------


def to_1(old: Unpacked) -> Unpacked:
    """From an invented format 0, whose one engine file lay beside the entries."""
    engine = old.files["engine.toml"]
    files = {"entries.jsonl": old.files["entries.jsonl"], f"engines/{sha(engine)}.toml": engine}
    manifest = old.manifest | {
        "oilwedge_archive": 1,
        "engine_digest": sha(engine),
        "files": {n: {"size": len(d), "sha256": sha(d)} for n, d in files.items()},
    }
    return Unpacked(manifest=manifest, files=files)


def old_archive(entries: tuple[Entry, ...]) -> dict[str, bytes]:
    manifest = {
        "oilwedge_archive": 0,
        "number": "old-1",
        "count": len(entries),
        "head": head(entries),
    }
    lines = "".join(canonical_text(entry) + "\n" for entry in entries)
    return {
        "manifest.json": json.dumps(manifest).encode(),
        "engine.toml": FIRST.encode(),
        "entries.jsonl": lines.encode(),
    }


def test_an_older_archive_is_brought_up_to_date(entries: tuple[Entry, ...]) -> None:
    back = read(zipped(old_archive(entries)), upgrades={0: to_1})
    assert back.header.number == "old-1"
    assert back.entries == entries
    assert back.engine_text == FIRST


def test_an_older_archive_that_is_none_gets_one_sentence(entries: tuple[Entry, ...]) -> None:
    files = old_archive(entries)
    del files["engine.toml"]
    words = sentence(zipped(files), upgrades={0: to_1})
    assert "archive of format 0 is not written like this" in words
    assert "job archives have format 1" in sentence(zipped(files))


def test_a_newer_archive_is_told_before_its_strange_files(archive: JobArchive) -> None:
    files = files_of(write_archive(archive)) | {"videos.bin": b"x"}
    words = sentence(listed_anew(files, oilwedge_archive=2))
    assert words == (
        "Given 'format 2'; this oilwedge reads job archives up to format 1; take a newer oilwedge."
    )


# --- what does not hold together ------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda files: files.pop("manifest.json"), "has no manifest.json, so it is no job archive"),
        (
            lambda files: files.update({"manifest.json": b"[1]"}),
            "The file manifest.json is no JSON with",
        ),
        (
            lambda files: files.update({"manifest.json": b"\xff"}),
            "The file manifest.json is no JSON with",
        ),
        (
            lambda files: files.update({"manifest.json": b"[" * 100_000}),
            "The file manifest.json is no JSON with",
        ),
        (
            lambda files: files.update({"manifest.json": b'{"oilwedge_archive": 1}'}),
            "has no list of files",
        ),
        (lambda files: files.pop("entries.jsonl"), "lacks this file"),
        (lambda files: files.update({"more.txt": b"x"}), "does not list this file"),
        (lambda files: files.update({"build-sheet.pdf": b"%PDF- x"}), "not the one that was exp"),
    ],
)
def test_files_other_than_those_listed_are_refused(
    archive: JobArchive, change: Change, words: str
) -> None:
    files = files_of(write_archive(archive))
    change(files)
    assert words in sentence(zipped(files))


ENGINE = f"engines/{digest_text(FIRST)}.toml"
PHOTO = f"photos/{sha(PICTURE)}.jpg"
NO_PICTURE = b"<svg onload=alert(1)>"
STRANGE = b"\x89PNG\r\n\x1a\n of nobody"
STRANGE_ENGINE = b"format = 1 # of nobody\n"


def personal(**changes: object) -> bytes:
    one = {"commitment": ADA, "salt": SALT, "text": "Ada", "kind": "person"} | changes
    return json.dumps([one]).encode()


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("more.txt", b"x", "has no such file"),
        ("engines/x.txt", b"x", "has no such file"),
        ("photos/a/b.jpg", b"x", "not named after its SHA-256"),
        ("entries.jsonl", None, "has no entries.jsonl"),
        (ENGINE, None, "names an engine file that is not there"),
        (ENGINE, b"other", "not named after its SHA-256"),
        (f"engines/{sha(STRANGE_ENGINE)}.toml", STRANGE_ENGINE, "no entry names this engine"),
        (f"engines/{sha(bytes([0xC2]))}.toml", b"\xc2", "no text in UTF-8"),
        (f"engines/{sha(bytes(3))}.toml", bytes(3), "no text in UTF-8"),
        (PHOTO, b"\xff\xd8\xff other", "not named after its SHA-256"),
        (f"photos/{sha(NO_PICTURE)}.jpg", NO_PICTURE, "no picture of the kind jpg"),
        (f"photos/{sha(PICTURE)}.png", PICTURE, "no picture of the kind png"),
        (f"photos/{sha(PICTURE)}.svg", PICTURE, "has no such file"),
        (f"photos/{sha(STRANGE)}.png", STRANGE, "no entry names this picture"),
        ("build-sheet.pdf", b"MZ", "build-sheet.pdf is no PDF"),
        ("personal.json", b"{}", "is a list in JSON"),
        ("personal.json", b"\xff", "is a list in JSON"),
        ("personal.json", b"[3]", "has commitment, salt, text and kind"),
        ("personal.json", personal(text="Ben"), "does not fit this commitment"),
        ("personal.json", personal(salt=""), "does not fit this commitment"),
        ("personal.json", personal(commitment="Ada", salt="", text=""), "does not fit"),
        ("personal.json", personal(kind="cat"), "is person or owner"),
        ("personal.json", personal(kind=[]), "'kind' in the archive is one line of text"),
        ("personal.json", personal(text="x" * 301), "at most 300 characters"),
        (
            "personal.json",
            json.dumps([json.loads(personal())[0]] * 2).encode(),
            "names a commitment twice",
        ),
    ],
)
def test_a_part_that_does_not_fit_the_record_is_refused(
    archive: JobArchive, name: str, data: bytes | None, words: str
) -> None:
    files = files_of(write_archive(archive))
    if data is None:
        del files[name]
    else:
        files[name] = data
    assert words in sentence(listed_anew(files))


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"number": ""}, "does not say the number"),
        ({"number": 7}, "'number' in the archive is one line of text"),
        ({"number": "x" * 41}, "at most 40 characters"),
        ({"title": "two\nlines"}, "'title' in the archive is one line of text"),
        ({"title": "\ud800"}, "'title' in the archive is one line of text"),
        ({"created": "noon"}, "'created' is written like"),
        ({"count": 6}, "does not follow from its entries"),
        ({"head": "0" * 64}, "does not follow from its entries"),
        ({"engine_digest": "0" * 64}, "names an engine file that is not there"),
        ({"oilwedge_archive": "1"}, "The file manifest.json is no JSON with"),
        ({"oilwedge_archive": True}, "The file manifest.json is no JSON with"),
        ({"oilwedge_archive": -1}, "job archives have format 1"),
    ],
)
def test_a_manifest_that_says_something_else_is_refused(
    archive: JobArchive, said: dict[str, object], words: str
) -> None:
    assert words in sentence(listed_anew(files_of(write_archive(archive)), **said))


def with_lines(archive: JobArchive, lines: list[str], *, end: str = "\n") -> bytes:
    chain = hashlib.sha256(b"").hexdigest()
    for line in lines:
        chain = digest_text(chain + digest_text(line))
    files = files_of(write_archive(archive))
    files["entries.jsonl"] = ("\n".join(lines) + end).encode()
    return listed_anew(files, head=chain, count=len(lines))


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("{", "entries.jsonl, line 8: this line is no JSON"),
        ("[" * 100_000, "line 8: this line is no JSON"),
        ('{"v":9}', "line 8: given 'v 9'; this oilwedge reads entries up to version 1"),
        ('{"v":1,"entry":"event","id":"x","kind":"note"}', "not written as oilwedge writes it"),
        ('{"entry":"event","id":"","kind":"note","v":1}', "an id has 1 to 80 characters"),
        ('{"entry":"event","id":"a\\u0000","kind":"note","v":1}', "an id has 1 to 80"),
        (f'{{"entry":"event","id":"{"x" * 81}","kind":"note","v":1}}', "an id has 1 to 80"),
        ('{"entry":"event","id":"x","kind":"note","extra":1,"v":1}', "not written as oilwedge"),
        ('{"entry":"event","id":"e1","kind":"note","v":1}', "this id stands for"),
    ],
)
def test_a_line_that_is_no_entry_of_this_record_is_refused(
    archive: JobArchive, line: str, words: str
) -> None:
    lines = [canonical_text(entry) for entry in archive.entries]
    assert words in sentence(with_lines(archive, [*lines, line]))


def test_an_entry_that_stands_there_twice_is_refused(archive: JobArchive) -> None:
    lines = [canonical_text(entry) for entry in archive.entries]
    assert "stands in the record twice" in sentence(with_lines(archive, [*lines, lines[0]]))


def test_a_last_line_that_is_cut_off_is_refused(archive: JobArchive) -> None:
    lines = [canonical_text(entry) for entry in archive.entries]
    assert "is cut off" in sentence(with_lines(archive, lines, end=""))


def test_a_changed_entry_does_not_give_the_head(archive: JobArchive) -> None:
    files = files_of(write_archive(archive))
    files["entries.jsonl"] = files["entries.jsonl"].replace(b"0.047972", b"0.047992")
    assert "does not follow from its entries" in sentence(listed_anew(files))


def test_a_job_without_any_engine_file_is_refused() -> None:
    bare = JobArchive(header=JobHeader(number="1"), entries=(), engine_texts=())
    assert "holds no engine file" in sentence(write_archive(bare))


def test_texts_as_long_as_the_limits_are_taken(archive: JobArchive) -> None:
    long = Event(id="i" * 80, kind=EventKind.NOTE)
    named = replace(archive.header, number="n" * 40)
    whole = replace(archive, entries=(*archive.entries, long), header=named, title="t" * 120)
    limits = ArchiveLimits(entries=8)
    assert read_archive(write_archive(whole), limits=limits) == whole


def test_too_many_entries_are_refused(archive: JobArchive) -> None:
    with pytest.raises(JobFileError, match="more than 6 entries"):
        read_archive(write_archive(archive), limits=ArchiveLimits(entries=6))


TEXT = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), max_size=20)


@given(title=TEXT, number=TEXT.filter(bool), words=TEXT, extra=st.binary(max_size=40))
def test_whatever_is_written_is_read_back(
    title: str, number: str, words: str, extra: bytes
) -> None:
    picture = b"RIFF\0\0\0\0WEBP" + extra
    photo = ArchivedPhoto(sha256=sha(picture), format=PhotoFormat.WEBP, data=picture)
    one = JobArchive(
        header=JobHeader(number=number, engine_digest=digest_text(words)),
        title=title,
        entries=(Event(id="p", kind=EventKind.PHOTO, value=photo.sha256, note=words),),
        engine_texts=(words,),
        photos=(photo,),
    )
    assert read(write_archive(one)) == one
