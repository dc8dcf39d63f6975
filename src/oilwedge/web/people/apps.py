"""The Django app of this package."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    """People."""

    name = "oilwedge.web.people"
    label = "people"
