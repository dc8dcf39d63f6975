"""Addresses of other rooms that the pages of a job lead to."""

from __future__ import annotations

from urllib.parse import urlencode

from django.urls import reverse

from oilwedge.web.record.models import Job


def set_address(
    job: Job,
    *,
    feature: str,
    number: int,
    place: str = "",
    direction: str = "",
) -> str:
    """Where a set is measured; at a place that is named, what stands there is replaced."""
    address = reverse("measure:set", args=[job.number, feature, number])
    query = {"at": f"{place}/{direction}"} if place or direction else {}
    return f"{address}?{urlencode(query)}" if query else address


def fit_address(job: Job, *, fit: str, number: int) -> str:
    """The page of a fit."""
    return reverse("bench:fit", args=[job.number, fit, number])
