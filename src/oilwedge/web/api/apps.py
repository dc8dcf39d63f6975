"""The Django app of this package."""

from django.apps import AppConfig


class ApiConfig(AppConfig):
    """API."""

    name = "oilwedge.web.api"
    label = "api"
