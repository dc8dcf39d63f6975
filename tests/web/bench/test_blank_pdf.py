"""Blank measuring sheets of a job."""

from __future__ import annotations

import io

from pypdf import PdfReader


def text_of(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


def test_blank_sheets_hold_the_plan_and_the_limits_last(as_person, make_job):
    make_job("J1")
    text = text_of(as_person("ben").get("/jobs/J1/blank.pdf").content)
    assert "Measuring sheets" in text
    assert "0.049" in text


def test_who_measures_blind_gets_no_limits(as_person, bench_of):
    bench_of("pia", "C1")
    text = text_of(as_person("pia").get("/jobs/C1/blank.pdf").content)
    assert "Measuring sheets" in text
    assert "0.049" not in text


def test_who_takes_blank_sheets(statuses, make_job):
    make_job("J1")
    assert statuses("/jobs/J1/blank.pdf") == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
