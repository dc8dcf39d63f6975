"""Jobs for the tests of a job's pages: the demo's invented four, fully measured, and helpers."""

from __future__ import annotations

import pytest


@pytest.fixture
def demo_shop(db: None) -> None:
    """The demo's invented shop with its jobs."""
    from oilwedge.web.demo_shop import fill_demo_shop

    fill_demo_shop()


@pytest.fixture
def four(demo_shop: None) -> object:
    """The demo's job on the Heron four: wrong fits, questions, replaced readings."""
    from oilwedge.web.record.models import Job

    return Job.objects.filter(count__gt=100).order_by("-count").first()
