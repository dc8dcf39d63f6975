"""Taking in a photo: decoded, turned, without the words of the camera; or refused in a sentence."""

from __future__ import annotations

import hashlib
import io
import json
import struct
import zlib

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

ADDRESS = "/jobs/J1/photos"
ORIENTATION, MAKE = 0x0112, 0x010F


def picture(format: str = "JPEG", size: tuple[int, int] = (40, 20), **exif: object) -> bytes:
    image = Image.new("RGB", size, "white")
    tags = Image.Exif()
    tags[MAKE] = "Invented camera"
    tags[ORIENTATION] = exif.get("orientation", 1)
    buffer = io.BytesIO()
    image.save(buffer, format, exif=tags)
    return buffer.getvalue()


def send(client, data: bytes, name: str = "photo.jpg", **more: str):
    return client.post(ADDRESS, {"photo": SimpleUploadedFile(name, data), **more})


@pytest.mark.parametrize("format", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_kept_under_the_digest_of_its_bytes(as_person, make_job, format):
    from oilwedge.web.record.photo_files import photo_path

    job = make_job("J1")
    answer = send(as_person("ben"), picture(format), about="rod_journal 1", note="rear, scored")
    assert answer["Location"] == "/jobs/J1/"
    row = job.photos.get()
    data = photo_path(row.sha256).read_bytes()
    assert hashlib.sha256(data).hexdigest() == row.sha256
    assert Image.open(io.BytesIO(data)).format == format
    entry = json.loads(job.entries.last().document)
    found = (entry["kind"], entry["value"], entry["subject"], entry["number"], entry["note"])
    assert found == ("photo", row.sha256, "rod_journal", 1, "rear, scored")


@pytest.mark.parametrize("format", ["JPEG", "PNG", "WEBP"])
def test_what_the_camera_wrote_is_taken_off(as_person, make_job, format):
    from oilwedge.web.record.photo_files import photo_path

    job = make_job("J1")
    sent = picture(format)
    assert b"Invented camera" in sent
    send(as_person("ben"), sent)
    kept = photo_path(job.photos.get().sha256).read_bytes()
    assert b"Invented camera" not in kept
    assert not Image.open(io.BytesIO(kept)).getexif()


def test_a_photo_is_turned_upright(as_person, make_job):
    job = make_job("J1")
    send(as_person("ben"), picture(size=(40, 20), orientation=6))
    row = job.photos.get()
    assert (row.width_px, row.height_px) == (20, 40)


def test_the_same_photo_is_kept_once(as_person, make_job):
    job = make_job("J1")
    for _ in range(2):
        send(as_person("ben"), picture())
    assert job.photos.count() == 1
    assert sum("photo" in one.document for one in job.entries.all()) == 1


def chunk(kind: bytes, data: bytes) -> bytes:
    checked = kind + data
    return struct.pack(">I", len(data)) + checked + struct.pack(">I", zlib.crc32(checked))


def bomb(side: int) -> bytes:
    """A PNG of a few bytes that says it is ``side`` pixels high and wide."""
    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"no picture at all", "no JPEG, PNG or WebP"),
        (b"", "empty"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no JPEG, PNG or WebP"),
        (b"GIF89a\x01\x00\x01\x00\x00\x00\x00;", "no JPEG, PNG or WebP"),
        (b"%PDF-1.7", "no JPEG, PNG or WebP"),
        (bomb(9_000), "million pixels"),
        (bomb(30_000), "million pixels"),
        (bomb(100), "damaged"),
    ],
)
def test_what_is_no_photo_gets_a_sentence_and_changes_nothing(as_person, make_job, data, said):
    job = make_job("J1")
    answer = send(as_person("ben"), data)
    assert answer.status_code == 400
    if said != "empty":
        assert said in answer.content.decode()
    job.refresh_from_db()
    assert (job.count, job.photos.count()) == (1, 0)


def test_a_cut_off_photo_is_damaged(as_person, make_job):
    make_job("J1")
    data = picture(size=(400, 300))
    answer = send(as_person("ben"), data[: len(data) // 2])
    assert answer.status_code == 400
    assert "damaged" in answer.content.decode()


def test_a_photo_that_is_too_large_gets_its_size_said(as_person, make_job, settings):
    make_job("J1")
    settings.PHOTO_LIMIT_BYTES = 2**20
    answer = send(as_person("ben"), b"\xff\xd8" + b"x" * (2 * 2**20))
    assert answer.status_code == 400
    assert "has 2 MB; a photo may have up to 1 MB" in answer.content.decode()


def test_no_photo_gets_a_sentence(as_person, make_job):
    make_job("J1")
    answer = as_person("ben").post(ADDRESS, {})
    assert answer.status_code == 400
    assert "Choose a photo first" in answer.content.decode()


def test_a_photo_of_nothing_in_this_engine_gets_a_sentence(as_person, make_job):
    make_job("J1")
    assert send(as_person("ben"), picture(), about="wings 3").status_code == 400


def test_a_closed_job_takes_no_photo(as_person, make_job):
    job = make_job("J1", closed=True)
    assert send(as_person("ben"), picture()).status_code == 400
    assert job.photos.count() == 0


def test_who_may_add_photos(statuses, make_job):
    make_job("J1")
    assert statuses(ADDRESS) == {"lena": 200, "ben": 200, "vera": 403, "pia": 404}
