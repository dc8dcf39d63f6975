"""Whatever comes, the interface answers in one sentence: never a fault of its own."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from oilwedge.web.record.models import Job
from oilwedge.web.record.verify import verify_shop

pytestmark = [pytest.mark.django_db, pytest.mark.slow]
quick = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
texts = st.text(max_size=20) | st.sampled_from(
    ["reading", "skip", "work", "47.972", "mm", "rod_journal", "\x00", "\ud800", "front", "=1",
     "2031-03-01T10:00:00+01:00", "9999-12-31T23:59:59+14:00", "0001-01-01T00:00:00-14:00"]
)  # fmt: skip
values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | texts,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3),
    max_leaves=8,
)
FIELDS = (
    "id", "device_time", "kind", "feature", "number", "place", "direction", "typed", "unit",
    "resolved", "value", "instrument", "fitting", "setting", "replaces", "confirmed", "part_c",
    "instrument_c", "note", "subject", "author", "unknown",
)  # fmt: skip
entries = st.dictionaries(st.sampled_from(FIELDS), values, max_size=8)
plausible = st.fixed_dictionaries(
    {
        "id": texts,
        "device_time": st.just("2031-03-01T10:00:00+01:00"),
        "kind": st.sampled_from(["reading", "skip", "zero check", "condition", "size", "work"]),
    },
    optional=dict.fromkeys(FIELDS[3:], values),
)
bodies = values | st.fixed_dictionaries(
    {
        "device_now": texts | st.just("2031-03-01T10:00:00+01:00"),
        "entries": st.lists(entries | plausible, max_size=4) | values,
    }
)


def held(answer: Any) -> None:
    assert answer.status_code in (200, 404, 422), answer.content
    document = answer.json()
    if answer.status_code != 200:
        assert set(document) == {"sentence"}
        assert document["sentence"]


@quick
@given(body=bodies)
def test_entries(make_job: Callable[..., Job], program: Callable[..., Any], body: object) -> None:
    if not Job.objects.exists():
        make_job("J1")
    call = program("ben")
    held(call("post", "/jobs/J1/entries", json.dumps(body)))
    assert verify_shop().findings == ()


@quick
@given(body=values | st.fixed_dictionaries({"text": values | texts}), number=texts)
def test_engine_files_and_numbers(program: Callable[..., Any], body: object, number: str) -> None:
    from urllib.parse import quote

    call = program("ben")
    held(call("post", "/engines", json.dumps(body)))
    address = quote(number.encode("utf-8", "replace"), safe="")
    answer = call("get", f"/jobs/{address or 'x'}/entries")
    assert answer.status_code in (404, 422)


@quick
@given(body=st.binary(max_size=60))
def test_bytes_of_no_kind(
    make_job: Callable[..., Job], program: Callable[..., Any], body: bytes
) -> None:
    if not Job.objects.exists():
        make_job("J1")
    held(program("ben")("post", "/jobs/J1/entries", body))
