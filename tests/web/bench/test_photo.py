"""Showing a photo of a job to those who see the job."""

from __future__ import annotations

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image


@pytest.fixture
def address(as_person, make_job) -> str:
    job = make_job("J1")
    buffer = io.BytesIO()
    Image.new("RGB", (8, 8), "white").save(buffer, "PNG")
    upload = SimpleUploadedFile("p.png", buffer.getvalue())
    as_person("ben").post("/jobs/J1/photos", {"photo": upload, "note": "the block"})
    return f"/jobs/J1/photos/{job.photos.get().sha256}"


def test_the_bytes_come_as_what_they_are(as_person, address):
    answer = as_person("vera").get(address)
    assert answer["Content-Type"] == "image/png"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert "private" in answer["Cache-Control"]
    assert answer.content.startswith(b"\x89PNG")


def test_the_photo_stands_on_the_job_with_its_words(as_person, address):
    page = as_person("vera").get("/jobs/J1/").content.decode()
    assert f'src="{address}"' in page
    assert 'alt="the block"' in page


def test_a_photo_is_shown_under_its_own_job_only(as_person, address, make_job):
    make_job("J2")
    assert as_person("ben").get(address.replace("J1", "J2")).status_code == 404


@pytest.mark.parametrize("name", ["0" * 64, "..%2f..%2fsecret", "x"])
def test_what_is_no_photo_is_not_found(as_person, address, name):
    assert as_person("ben").get(f"/jobs/J1/photos/{name}").status_code == 404


def test_who_sees_a_photo(statuses, address):
    assert statuses(address) == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
