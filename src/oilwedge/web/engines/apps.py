"""The Django app of this package."""

from django.apps import AppConfig


class EnginesConfig(AppConfig):
    """Engine files."""

    name = "oilwedge.web.engines"
    label = "engines"
