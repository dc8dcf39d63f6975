"""The page that describes the interface, made from its OpenAPI description."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from oilwedge.web.api.interface import api
from oilwedge.web.api.scopes import Scope
from oilwedge.web.people.access import open_to_all

METHODS = ("get", "post", "put", "delete")


@dataclass(frozen=True, kw_only=True, slots=True)
class Parameter:
    """What may stand in the address."""

    name: str
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Operation:
    """One thing that the interface does."""

    id: str
    method: str
    path: str
    summary: str
    text: str
    parameters: tuple[Parameter, ...]
    body: str
    statuses: str


@require_safe
@open_to_all
def description(request: HttpRequest) -> HttpResponse:
    """Describe the interface; nothing of the shop stands here."""
    schema = json.loads(json.dumps(api.get_openapi_schema(), default=str))
    context = {
        "operations": _operations(schema),
        "text": schema["info"]["description"],
        "scopes": [(scope.value, scope.words) for scope in Scope],
    }
    return render(request, "api/docs.html", context)


def _operations(schema: dict[str, Any]) -> list[Operation]:
    found = []
    for path, item in schema["paths"].items():
        for method in METHODS:
            if method in item:
                found.append(_operation(path, method, item[method], schema=schema))
    return found


def _operation(
    path: str, method: str, said: dict[str, Any], *, schema: dict[str, Any]
) -> Operation:
    parameters = tuple(
        Parameter(name=one["name"], words=one.get("description", "") or _limits(one["schema"]))
        for one in said.get("parameters", ())
    )
    return Operation(
        id=said["operationId"],
        method=method.upper(),
        path=path,
        summary=said.get("summary", ""),
        text=said.get("description", ""),
        parameters=parameters,
        body=_body(said, schema=schema),
        statuses=", ".join(str(status) for status in said["responses"]),
    )


def _limits(schema: dict[str, Any]) -> str:
    words = {"minimum": "from", "maximum": "to", "default": "usually"}
    return " ".join(f"{word} {schema[key]}" for key, word in words.items() if key in schema)


def _body(said: dict[str, Any], *, schema: dict[str, Any]) -> str:
    """The fields of what is sent, in words."""
    content = said.get("requestBody", {}).get("content", {}).get("application/json", {})
    name = content.get("schema", {}).get("$ref", "").rpartition("/")[2]
    fields = schema["components"]["schemas"].get(name, {}).get("properties", {})
    return "; ".join(
        f"{key}: {one.get('description') or one.get('type', '')}" for key, one in fields.items()
    )
