"""The Django app of this package."""

from django.apps import AppConfig


class LookConfig(AppConfig):
    """Look."""

    name = "oilwedge.web.look"
    label = "look"
