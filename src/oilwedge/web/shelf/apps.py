"""The Django app of this package."""

from django.apps import AppConfig


class ShelfConfig(AppConfig):
    """Shelf."""

    name = "oilwedge.web.shelf"
    label = "shelf"
