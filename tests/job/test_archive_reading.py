"""Zips that somebody made to do harm, or that were harmed: one sentence each, never a crash."""

from __future__ import annotations

import io
import stat
import struct
import zipfile
import zlib
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import JobFileError
from oilwedge.job.archive import ArchiveLimits, JobArchive
from oilwedge.job.archive_reading import unpack
from oilwedge.job.entry import Event, EventKind
from oilwedge.job.exchange import read_archive, write_archive
from oilwedge.job.header import JobHeader
from oilwedge.job.record import digest_text

SMALL = ArchiveLimits(packed=300_000, unpacked=4_000_000, one_file=3_000_000, files=20)
END_BYTES = 22
DIRECTORY_SIGNATURE = b"PK\x01\x02"
FILE_SIGNATURE = b"PK\x03\x04"


def zipped(*members: tuple[str | zipfile.ZipInfo, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as target:
        for name, data in members:
            target.writestr(name, data)
    return buffer.getvalue()


def sentence(data: bytes, *, limits: ArchiveLimits = SMALL) -> str:
    with pytest.raises(JobFileError) as caught:
        unpack(data, limits=limits)
    text = str(caught.value)
    assert "\n" not in text
    assert text.isprintable()
    assert len(text) < 400
    return text


def with_name(name: bytes) -> bytes:
    """A zip that holds this very name, also where a careful program would not write it."""
    plain = b"n" * len(name)
    return zipped((plain.decode(), b"x")).replace(plain, name)


def patched(data: bytes, *, signature: bytes, offset: int, value: bytes) -> bytes:
    """The zip with some bytes of one header exchanged."""
    at = data.index(signature) + offset
    return data[:at] + value + data[at + len(value) :]


def special(mode: int) -> bytes:
    info = zipfile.ZipInfo("manifest.json")
    info.external_attr = mode << 16
    return zipped((info, b"/etc/passwd"))


def test_an_ordinary_zip_is_unpacked() -> None:
    data = zipped(("manifest.json", b"{}"), ("photos/", b""), ("photos/a.jpg", b"x" * 5000))
    assert unpack(data, limits=SMALL) == {"manifest.json": b"{}", "photos/a.jpg": b"x" * 5000}


@pytest.mark.parametrize("data", [b"", b"PK", b"GIF89a" * 20, b"<html>", b"\0" * 100])
def test_what_is_no_zip_is_told(data: bytes) -> None:
    assert "is no zip" in sentence(data)


@pytest.mark.parametrize(
    "name",
    [
        b"../x", b"a/../../x", b"..", b"/etc/passwd", b"//host/x", b"C:/x", b"C:x", b"a\\b",
        b"..\\x", b"a\0.jpg", b"a//b", b"./x", b"a/./b", b"a\nb", b"a b", b"~/x\x1b[31m", b"a:b",
        "ä".encode(), b"photos/../manifest.json",
    ],
)  # fmt: skip
def test_a_name_that_leads_elsewhere_is_refused(name: bytes) -> None:
    words = sentence(with_name(name))
    assert "a name in a job archive is made of letters" in words


@pytest.mark.parametrize("name", ["other/", "engines/more/"])
def test_a_strange_folder_is_refused(name: str) -> None:
    assert "no such folder" in sentence(zipped((name, b"")))


def test_a_folder_that_holds_bytes_is_refused() -> None:
    assert "no such folder" in sentence(with_name(b"photos/"))


@pytest.mark.parametrize(
    "mode", [stat.S_IFLNK | 0o777, stat.S_IFIFO, stat.S_IFCHR, stat.S_IFBLK, stat.S_IFDIR]
)
def test_a_link_or_device_is_refused(mode: int) -> None:
    assert "a link or another thing that is no file" in sentence(special(mode))


def test_a_link_of_windows_is_refused() -> None:
    info = zipfile.ZipInfo("manifest.json")
    info.create_system, info.external_attr = 0, 0x400
    assert "a link or another thing" in sentence(zipped((info, b"x")))


def test_a_locked_file_is_refused() -> None:
    data = zipped(("manifest.json", b"{}"))
    locked = patched(data, signature=DIRECTORY_SIGNATURE, offset=8, value=b"\x01\x00")
    assert "locked with a password" in sentence(locked)


@pytest.mark.parametrize("way", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA, 99])
def test_another_way_of_packing_is_refused(way: int) -> None:
    data = zipped(("manifest.json", b"{}"))
    other = patched(data, signature=DIRECTORY_SIGNATURE, offset=10, value=struct.pack("<H", way))
    assert "packed in a way that is not read" in sentence(other)


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("second", ["manifest.json", "MANIFEST.json"])
def test_a_name_that_comes_twice_is_refused(second: str) -> None:
    assert "this name twice" in sentence(zipped(("manifest.json", b"1"), (second, b"2")))


def test_a_large_file_is_refused_before_it_is_opened() -> None:
    assert sentence(b"PK" + bytes(400_000)).startswith("The archive has 0 MB, and at most 0 MB")
    words = sentence(b"PK" + bytes(3_000_000), limits=ArchiveLimits(packed=2_000_000))
    assert words == "The archive has 3 MB, and at most 2 MB are taken."


def test_a_bomb_is_refused_by_what_it_declares() -> None:
    bomb = zipped(("photos/a.jpg", bytes(2_900_000)))
    assert len(bomb) < 10_000
    assert "more than 100 times its size" in sentence(bomb)
    assert "unpacks to too much" in sentence(zipped(("a", bytes(3_000_001))))


def test_many_files_that_are_too_much_together_are_refused() -> None:
    noise = b"".join(struct.pack("<I", zlib.crc32(struct.pack("<I", i))) for i in range(50_000))
    members = [(f"a{i}", noise[:900] * 1000) for i in range(6)]  # shrinks to a hundredth or so
    words = sentence(zipped(*members), limits=ArchiveLimits(unpacked=4_000_000, ratio=10_000))
    assert "given 'a4'" in words.casefold()
    assert "4 MB in all" in words


def lying(*, declared: int, content: bytes, crc: int | None = None) -> bytes:
    """A zip whose headers both declare another unpacked size than comes out."""
    data = zipped(("a", content))
    size = struct.pack("<I", declared)
    data = patched(data, signature=DIRECTORY_SIGNATURE, offset=24, value=size)
    data = patched(data, signature=FILE_SIGNATURE, offset=22, value=size)
    if crc is not None:
        check = struct.pack("<I", crc)
        data = patched(data, signature=DIRECTORY_SIGNATURE, offset=16, value=check)
        data = patched(data, signature=FILE_SIGNATURE, offset=14, value=check)
    return data


def test_a_bomb_that_declares_little_is_not_unpacked_further() -> None:
    bomb = bytes(50_000_000)
    assert "damaged" in sentence(lying(declared=10, content=bomb))
    # With a matching checksum of its beginning, only what was declared comes out.
    files = unpack(lying(declared=10, content=bomb, crc=zlib.crc32(bytes(10))), limits=SMALL)
    assert files == {"a": bytes(10)}


def test_a_file_that_declares_more_than_it_holds_is_refused() -> None:
    assert "damaged" in sentence(lying(declared=500, content=b"x" * 20))


def test_what_is_as_large_as_the_limits_is_taken() -> None:
    noise = b"".join(struct.pack("<I", zlib.crc32(struct.pack("<I", i))) for i in range(50_000))
    data = zipped(("a", noise), ("b", b"x" * 100))
    exact = ArchiveLimits(packed=len(data), unpacked=200_100, one_file=200_000, files=2)
    assert len(unpack(data, limits=exact)) == 2
    for smaller in (
        replace(exact, packed=len(data) - 1),
        replace(exact, unpacked=200_099),
        replace(exact, one_file=199_999),
        replace(exact, files=1),
    ):
        sentence(data, limits=smaller)


def test_a_long_name_is_cut_where_it_is_told() -> None:
    assert f"given '{'x' * 57}...'" in sentence(with_name(b"x" * 199 + b"\\")).casefold()


def test_too_many_files_are_refused() -> None:
    members = [(f"photos/{i}.jpg", b"x") for i in range(21)]
    assert "more than 20 files" in sentence(zipped(*members))


def test_a_directory_that_hides_its_count_is_refused() -> None:
    data = zipped(*[(f"photos/{i}.jpg", b"x") for i in range(21)])
    end = len(data) - END_BYTES
    hidden = data[: end + 8] + struct.pack("<HH", 1, 1) + data[end + 12 :]
    assert "more than 20 files" in sentence(hidden)


def test_two_files_out_of_the_same_bytes_are_refused() -> None:
    data = zipped(("aa", b"x" * 50), ("ab", b"y" * 50))
    second = data.rindex(DIRECTORY_SIGNATURE)
    first_end = 30 + 2 + len(zlib.compress(b"x" * 50)) - 6  # header, name, what deflate made
    assert data[first_end : first_end + 4] == FILE_SIGNATURE
    for start in (0, 10, first_end - 1):
        forged = data[: second + 42] + struct.pack("<I", start) + data[second + 46 :]
        assert "shares its bytes with another one" in sentence(forged)


def test_a_file_that_reaches_into_the_directory_is_refused() -> None:
    data = zipped(("a", b"x" * 50))
    size = struct.pack("<I", 5_000)
    assert "damaged" in sentence(
        patched(data, signature=DIRECTORY_SIGNATURE, offset=20, value=size)
    )


@pytest.mark.parametrize(
    "wrap",
    [
        lambda data: b"PK program" + data,
        lambda data: data + b"x" * 30,
        lambda data: data[:-2] + struct.pack("<H", 3) + b"abc",
        lambda data: data + data,
    ],
)
def test_something_before_or_behind_the_zip_is_refused(wrap: Callable[[bytes], bytes]) -> None:
    assert "before or behind" in sentence(wrap(zipped(("a", b"x"))))


def test_a_cut_off_download_is_told() -> None:
    data = zipped(("a", bytes(range(256)) * 4), ("b", b"x"))
    for end in range(len(data) // 2, len(data)):
        assert sentence(data[:end])
    assert "The end of the archive is missing" in sentence(data[: len(data) // 2])


def test_an_archive_for_more_than_four_gigabytes_is_refused() -> None:
    data = zipped(("a", b"x"))
    locator = b"PK\x06\x07" + bytes(16)
    assert "more than 4 GB" in sentence(data[:-END_BYTES] + locator + data[-END_BYTES:])


def test_a_zip_in_a_zip_is_a_file_that_nobody_asked_for() -> None:
    with pytest.raises(JobFileError, match=r"no manifest\.json"):
        read_archive(zipped(("inner.zip", zipped(("a", b"x")))), limits=SMALL)


GOOD = write_archive(
    JobArchive(
        header=JobHeader(number="1", engine_digest=digest_text("e")),
        entries=(Event(id="a", kind=EventKind.NOTE, note="as found"),),
        engine_texts=("e",),
    )
)


@given(at=st.integers(0, len(GOOD) - 1), value=st.integers(0, 255))
def test_any_changed_byte_gives_one_sentence_or_the_same_job(at: int, value: int) -> None:
    changed = GOOD[:at] + bytes([value]) + GOOD[at + 1 :]
    try:
        back = read_archive(changed, limits=SMALL)
    except JobFileError as error:
        assert len(error.faults) == 1
    else:  # a byte that says nothing of the job, such as the time of a file
        assert back == read_archive(GOOD, limits=SMALL)


@given(data=st.binary(max_size=200), cut=st.integers(0, len(GOOD)))
def test_no_bytes_make_it_crash(data: bytes, cut: int) -> None:
    for forged in (data, GOOD[:cut] + data + GOOD[cut:], GOOD[:cut] + data, data + GOOD[cut:]):
        try:
            assert read_archive(forged, limits=SMALL).entries
        except JobFileError as error:
            assert len(error.faults) == 1
