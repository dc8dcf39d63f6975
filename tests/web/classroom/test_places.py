"""Places by benches as a plain table."""

from __future__ import annotations

import csv
import io
import statistics
from collections.abc import Callable
from typing import Any

import pytest
from class_roles import refuses_all_but_leads
from django.test import Client


def test_only_leads_take_it_out(task: Any, as_person: Callable[[str], Client]) -> None:
    refuses_all_but_leads(as_person, f"/classes/{task.pk}/places.csv")


def test_places_go_down_and_benches_across(twenty: Any, as_person: Callable[[str], Client]) -> None:
    answer = as_person("lena").get(f"/classes/{twenty.pk}/places.csv")
    assert answer["Content-Disposition"] == f'attachment; filename="class-{twenty.pk}-places.csv"'
    header, *rows = csv.reader(io.StringIO(answer.content.decode("utf-8-sig")))
    assert header[6:] == [f"C{twenty.pk}-{n:02d}" for n in range(1, 21)]
    assert len(rows) == 16
    assert all(len(row) == 26 for row in rows)
    first = [float(one) for one in rows[0][6:]]
    assert float(rows[0][4]) == pytest.approx(47.972e-3, abs=1e-8)
    assert statistics.median(first) == pytest.approx(47.972e-3, abs=1.5e-6)
    assert rows[-1][6 + 1] == ""  # the second bench read twelve of sixteen places
