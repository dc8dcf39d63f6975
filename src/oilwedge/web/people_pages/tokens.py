"""Keys with which other programs act for an account: made here, shown once, ended here."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from oilwedge.errors import InputError
from oilwedge.web.api.scopes import Scope
from oilwedge.web.api.tokens import (
    LONGEST_DAYS,
    TITLE_LENGTH,
    make_token,
    revoke_token,
    scopes_of,
    tokens_of,
)
from oilwedge.web.people.access import Right, may, needs, signed_in
from oilwedge.web.people.models import Account, ApiToken

USUAL_DAYS = 90


class TokenForm(forms.Form):
    """What a key is for and how long it holds."""

    title = forms.CharField(
        label="What it is for",
        max_length=TITLE_LENGTH,
        help_text="As you will know it again in the list.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    scopes = forms.MultipleChoiceField(
        label="What it may do", widget=forms.CheckboxSelectMultiple, initial=[Scope.READ.value]
    )
    days = forms.IntegerField(
        label="Days it holds",
        min_value=1,
        max_value=LONGEST_DAYS,
        initial=USUAL_DAYS,
        widget=forms.NumberInput(attrs={"class": "short", "inputmode": "numeric"}),
    )

    def __init__(self, data: object = None, *, account: Account) -> None:
        super().__init__(data)  # type: ignore[arg-type]
        scopes = self.fields["scopes"]
        if isinstance(scopes, forms.MultipleChoiceField):
            allowed = [scope for scope in Scope if may(account, scope.right)]
            scopes.choices = [(scope.value, scope.words) for scope in allowed]


@never_cache
@needs(Right.EXPORT)
def tokens(request: HttpRequest) -> HttpResponse:
    """The own keys; sent as a form, a new one is made and shown this once."""
    account = signed_in(request)
    form = TokenForm(request.POST if request.method == "POST" else None, account=account)
    made = ""
    if request.method == "POST" and form.is_valid():
        try:
            made = _make(account, form)
        except InputError as error:
            form.add_error("title", str(error))
    context = {"form": form, "made": made, "rows": _rows(tokens_of(account))}
    return render(request, "people/tokens.html", context)


def _make(account: Account, form: TokenForm) -> str:
    return make_token(
        account=account,
        title=form.cleaned_data["title"],
        scopes=[Scope(word) for word in form.cleaned_data["scopes"]],
        days=form.cleaned_data["days"],
    )


def _rows(kept: QuerySet[ApiToken]) -> list[dict[str, object]]:
    return [
        {"token": one, "may": "; ".join(s.words for s in Scope if s in scopes_of(one))}
        for one in kept
    ]


@require_POST
@needs(Right.EXPORT)
def revoke(request: HttpRequest, pk: int) -> HttpResponse:
    """End one of the own keys."""
    if revoke_token(account=signed_in(request), pk=pk):
        messages.success(request, "The key does not work any more.")
    else:
        messages.warning(request, "There is no such key, or it has ended already.")
    return redirect("people:tokens")
