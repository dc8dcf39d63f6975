"""The Django app of this package."""

from typing import Any

from django.apps import AppConfig


class ClassroomConfig(AppConfig):
    """Class."""

    name = "oilwedge.web.classroom"
    label = "classroom"

    def ready(self) -> None:
        """Give a pupil who comes in the bench that the invitation was for."""
        from django.contrib.auth.signals import user_logged_in

        user_logged_in.connect(_came_in, dispatch_uid="classroom.take_seats")


def _came_in(*, user: object, **rest: Any) -> None:  # as the signal calls it
    from oilwedge.web.classroom.seating import take_seats
    from oilwedge.web.people.models import Account

    del rest
    if isinstance(user, Account):
        take_seats(user)
