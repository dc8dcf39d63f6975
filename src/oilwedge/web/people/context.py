"""What every page knows about who looks at it."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from django.http import HttpRequest

from oilwedge.web.people.access import Right, may


def rights(request: HttpRequest) -> dict[str, Any]:
    """``may.work``, ``may.shelf`` and so on, for what stands in the head of a page."""
    who = getattr(request, "user", None)
    if who is None:  # a fault before anybody was known
        return {"may": SimpleNamespace()}
    wanted = {
        "work": Right.SEE_WORK,
        "engine_files": Right.ENGINE_FILES,
        "shelf": Right.SHELF_SEE,
        "change_shelf": Right.SHELF_CHANGE,
        "classes": Right.CLASSES,
        "people": Right.PEOPLE,
        "measure": Right.MEASURE,
        "change": Right.CHANGE_JOB,
        "step": Right.RECORD_STEP,
        "lead_job": Right.LEAD_JOB,
        "export": Right.EXPORT,
    }
    return {"may": SimpleNamespace(**{name: may(who, right) for name, right in wanted.items()})}
