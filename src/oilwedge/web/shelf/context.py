"""What every page knows of the shop."""

from __future__ import annotations

from django.http import HttpRequest

from oilwedge.web.record.judged import current_shop
from oilwedge.web.record.models import ShopRevision


def shop(request: HttpRequest) -> dict[str, str]:
    """The name of the shop for the head of a page, for who is in; strangers learn nothing."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated or not ShopRevision.objects.exists():
        return {}
    return {"shop_name": current_shop().name}
