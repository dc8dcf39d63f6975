"""The Django app of this package."""

from django.apps import AppConfig


class ClassroomConfig(AppConfig):
    """Class."""

    name = "oilwedge.web.classroom"
    label = "classroom"
