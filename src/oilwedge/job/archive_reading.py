"""A zip that came from outside, unpacked in memory without trusting anything that it says.

Nothing is written to the disk, so a name cannot lead anywhere; names that try are refused all the
same, because whoever writes such a name does not send a job. Sizes are held against the limits
twice: as declared, before anything is unpacked, and as they come, while unpacking.
"""

from __future__ import annotations

import io
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Sequence

from oilwedge.errors import Fault, JobFileError
from oilwedge.job.archive import ArchiveLimits

__all__ = ["refusal", "unpack"]

FOLDERS = frozenset({"engines/", "photos/"})
_CHUNK = 1 << 18
_MEGABYTE = 1_000_000
_END_RECORD = struct.Struct("<4s4H2LH")  # of the ZIP format: signature, 4 counts, size, offset
_END_SIGNATURE = b"PK\x05\x06"
_LOCATOR_64 = b"PK\x06\x07"
_LOCATOR_64_BYTES = 20
_LOCAL_HEADER_BYTES = 30
_DIRECTORY_ENTRY_BYTES = 46 + 200  # with a generous name
_ENCRYPTED = 0x1 | 0x40 | 0x2000
_WINDOWS_LINK = 0x400
_PLAIN_NAME = re.compile(r"[A-Za-z0-9._-]+(/[A-Za-z0-9._-]+)*/?")
_SENT_AGAIN = "export the job again and send the file as it is"
_DANGER = "take job archives only from people whom you know"


def unpack(data: bytes, *, limits: ArchiveLimits) -> dict[str, bytes]:
    """All files of a zip by name; raises :class:`JobFileError` with one sentence."""
    if len(data) > limits.packed:
        raise refusal(
            f"the archive has {_megabytes(len(data))}, and at most {_megabytes(limits.packed)}"
            " are taken"
        )
    _check_end_record(data, limits=limits)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
            _check_members(members, limits=limits)
            _check_places(members, directory=archive.start_dir)
            files: dict[str, bytes] = {}
            left = limits.unpacked
            for member in members:
                if member.filename not in FOLDERS:
                    files[member.filename] = _read(archive, member, left=left, limits=limits)
                    left -= len(files[member.filename])
            return files
    except JobFileError:
        raise
    except (
        zipfile.BadZipFile,
        zlib.error,
        struct.error,
        EOFError,
        NotImplementedError,
        RuntimeError,
        OSError,
        OverflowError,
        ValueError,
    ):
        raise refusal("the archive is damaged", action=_SENT_AGAIN) from None


def refusal(allowed: str, *, given: str = "", action: str = "") -> JobFileError:
    """The error of an archive that is not taken; what was given is cut and made printable."""
    shown = given if len(given) <= 60 else f"{given[:57]}..."
    return JobFileError(Fault(given=_printable(shown), allowed=allowed, action=action))


def _printable(text: str) -> str:
    return "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in text)


def _megabytes(size: int) -> str:
    return f"{size / _MEGABYTE:,.0f} MB"


def _check_end_record(data: bytes, *, limits: ArchiveLimits) -> None:
    """One zip from the first byte to the last, and a directory of a size that can be read.

    A zip with something before or behind it can be read in more than one way; ours has neither.
    """
    record = data[-_END_RECORD.size :]
    if data[:2] != b"PK" or len(record) < _END_RECORD.size:
        raise refusal("this is no zip, and a job archive is one", action="choose another file")
    if _END_SIGNATURE not in data[-66_000:]:
        raise refusal("the end of the archive is missing", action=_SENT_AGAIN)
    signature, _, _, _, count, size, offset, comment = _END_RECORD.unpack(record)
    before = len(data) - _END_RECORD.size
    if data[before - _LOCATOR_64_BYTES : before].startswith(_LOCATOR_64):
        raise refusal("the archive is of a kind for more than 4 GB", action=_SENT_AGAIN)
    if signature != _END_SIGNATURE or comment or size + offset != before:
        raise refusal("there is something before or behind the zip", action=_SENT_AGAIN)
    if count > limits.files or size > limits.files * _DIRECTORY_ENTRY_BYTES:
        raise _too_many(limits)


def _too_many(limits: ArchiveLimits) -> JobFileError:
    return refusal(f"the archive holds more than {limits.files:,} files")


def _check_members(members: Sequence[zipfile.ZipInfo], *, limits: ArchiveLimits) -> None:
    """What the directory says, before anything is unpacked."""
    if len(members) > limits.files:
        raise _too_many(limits)
    seen: set[str] = set()
    total = 0
    for member in members:
        _check_name(member)
        folded = member.filename.casefold()
        if folded in seen:
            raise refusal(
                "the archive holds this name twice", given=member.filename, action=_SENT_AGAIN
            )
        seen.add(folded)
        _check_kind(member)
        total += member.file_size
        if member.file_size > limits.one_file or total > limits.unpacked:
            raise _too_large(member.filename, limits)
        if member.file_size > max(_MEGABYTE, limits.ratio * member.compress_size):
            raise refusal(
                f"this file unpacks to more than {limits.ratio} times its size, as no file of a"
                " job does",
                given=member.filename,
                action=_DANGER,
            )


def _check_name(member: zipfile.ZipInfo) -> None:
    name = member.orig_filename  # the other one is cut at a NUL
    steps = name.split("/")
    if not _PLAIN_NAME.fullmatch(name) or "." in steps or ".." in steps:
        raise refusal(
            "a name in a job archive is made of letters, digits, '.', '-', '_' and '/' between,"
            " and leads nowhere else",
            given=name,
            action=_DANGER,
        )
    if name.endswith("/") and (name not in FOLDERS or member.file_size):
        raise refusal("a job archive has no such folder", given=name)


def _check_kind(member: zipfile.ZipInfo) -> None:
    if member.flag_bits & _ENCRYPTED:
        raise refusal(
            "this file is locked with a password", given=member.filename, action=_SENT_AGAIN
        )
    kind = stat.S_IFMT(member.external_attr >> 16)
    allowed = stat.S_IFDIR if member.filename in FOLDERS else stat.S_IFREG
    if kind not in (0, allowed) or member.external_attr & _WINDOWS_LINK:
        raise refusal(
            "this is a link or another thing that is no file",
            given=member.filename,
            action=_DANGER,
        )
    if member.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise refusal(
            "this file is packed in a way that is not read; 'deflate' and 'store' are",
            given=member.filename,
            action=_SENT_AGAIN,
        )


def _check_places(members: Sequence[zipfile.ZipInfo], *, directory: int) -> None:
    """No two files out of the same bytes: that is how little becomes much."""
    end = 0
    for member in sorted(members, key=lambda member: member.header_offset):
        if member.header_offset < end:
            raise refusal(
                "this file shares its bytes with another one", given=member.filename, action=_DANGER
            )
        name = len(member.orig_filename)
        end = member.header_offset + _LOCAL_HEADER_BYTES + name + member.compress_size
    if end > directory:
        raise refusal("the archive is damaged", action=_SENT_AGAIN)


def _read(
    archive: zipfile.ZipFile, member: zipfile.ZipInfo, *, left: int, limits: ArchiveLimits
) -> bytes:
    """The file, counted while it comes: what was declared may be a lie."""
    most = min(left, limits.one_file)
    parts: list[bytes] = []
    size = 0
    with archive.open(member) as file:
        while chunk := file.read(_CHUNK):
            size += len(chunk)
            if size > most:
                raise _too_large(member.filename, limits)
            parts.append(chunk)
    if size != member.file_size:
        raise refusal("the archive is damaged", given=member.filename, action=_SENT_AGAIN)
    return b"".join(parts)


def _too_large(name: str, limits: ArchiveLimits) -> JobFileError:
    return refusal(
        f"with this file the archive unpacks to too much: {_megabytes(limits.one_file)} for one"
        f" file and {_megabytes(limits.unpacked)} in all are taken",
        given=name,
    )
