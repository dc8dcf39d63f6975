"""The Django app of this package."""

from django.apps import AppConfig


class BenchConfig(AppConfig):
    """Bench."""

    name = "oilwedge.web.bench"
    label = "bench"
