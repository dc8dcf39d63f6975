"""What every page knows of the shop."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from oilwedge.web.record.judged import current_shop


def shop(request: HttpRequest) -> dict[str, object]:
    """The name of the shop for the head of a page, for who is in; strangers learn nothing.

    It is looked up where a page shows it, and not before.
    """
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {}
    return {"shop_name": SimpleLazyObject(_name)}


def _name() -> str:
    shop_now = current_shop()
    return shop_now.name if shop_now.text else ""  # general kinds stand in and have no name
