"""The forms of coming in and of accounts."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.http import HttpRequest, QueryDict

from oilwedge.errors import InputError, Where
from oilwedge.web.people.accounts import LONGEST_FULL_NAME, LONGEST_PASSWORD, LONGEST_USERNAME
from oilwedge.web.people.models import Account, Role

ROLE_WORDS = {
    Role.LEAD: "lead: everything, with people, classes and the shelf",
    Role.BUILDER: "builder: jobs, engine files, data in and out",
    Role.VIEWER: "viewer: looks at jobs and the shelf, takes data out",
    Role.PUPIL: "pupil: the own bench in a class, nothing else",
}
ROLES = [(role.value, words) for role, words in ROLE_WORDS.items()]


def _password_field(label: str, *, autocomplete: str) -> forms.CharField:
    return forms.CharField(
        label=label,
        strip=False,
        max_length=LONGEST_PASSWORD,
        widget=forms.PasswordInput(attrs={"autocomplete": autocomplete}),
    )


def _role_field() -> forms.ChoiceField:
    return forms.ChoiceField(
        label="Role", choices=ROLES, initial=Role.BUILDER.value, widget=forms.RadioSelect
    )


class LoginForm(AuthenticationForm):
    """Name and password. Whichever was wrong, the answer is the same."""

    error_messages = {  # noqa: RUF012  (as wide as the library has it)
        "invalid_login": "Name or password is wrong. Try again, or ask a lead of the shop.",
        "inactive": "Name or password is wrong. Try again, or ask a lead of the shop.",
    }

    def __init__(self, request: HttpRequest, data: QueryDict | None = None) -> None:
        super().__init__(request, data)
        self.fields["username"].label = "Name"

    def clean_username(self) -> str:
        """The name as the account has it, so that other spellings are counted as one name."""
        typed = unicodedata.normalize("NFKC", self.cleaned_data["username"])
        name = " ".join(typed.split())[:LONGEST_USERNAME]
        known = Account.objects.filter(username__iexact=name).order_by("pk").first()
        return known.username if known is not None else name.casefold()


class NewPasswordForm(forms.Form):
    """A new password, typed twice."""

    password = _password_field("Password", autocomplete="new-password")
    again = _password_field("The same once more", autocomplete="new-password")

    def clean_again(self) -> str:
        """Both have to be the same."""
        again = str(self.cleaned_data["again"])
        if "password" in self.cleaned_data and self.cleaned_data["password"] != again:
            raise forms.ValidationError("These two were not the same. Type both again.")
        return again

    def take_faults(self, error: InputError) -> None:
        """Put each fault at its field."""
        fields = {"name to log in with": "username", "full name": "full_name"}
        for fault in error.faults:
            field = fields.get(fault.where.column, "password")
            self.add_error(field, replace(fault, where=Where(), given="").sentence())


class JoinForm(NewPasswordForm):
    """What somebody who was invited says."""

    full_name = forms.CharField(
        label="Your name",
        max_length=LONGEST_FULL_NAME,
        help_text="As it stands on build sheets.",
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    username = forms.CharField(
        label="Name to log in with",
        max_length=LONGEST_USERNAME,
        help_text="Short, without blanks at its ends. Capital or small letters are the same.",
        widget=forms.TextInput(
            attrs={"autocomplete": "username", "autocapitalize": "none", "spellcheck": "false"}
        ),
    )
    field_order = ("full_name", "username", "password", "again")


class InviteForm(forms.Form):
    """Whom a lead lets in."""

    full_name = forms.CharField(
        label="Name",
        required=False,
        max_length=LONGEST_FULL_NAME,
        help_text="May stay empty; who opens the link can change it.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    role = _role_field()


class RoleForm(forms.Form):
    """Another role for somebody."""

    role = _role_field()


class NameForm(forms.Form):
    """The own name as it stands on sheets from now on."""

    full_name = forms.CharField(
        label="Name",
        max_length=LONGEST_FULL_NAME,
        help_text="Jobs in which you worked already keep the name of that time.",
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )

    def clean_full_name(self) -> str:
        """One line of letters that can be printed."""
        name = " ".join(str(self.cleaned_data["full_name"]).split())
        if not name or not name.isprintable():
            raise forms.ValidationError("A name is letters in one line.")
        return name


class OwnPasswordForm(PasswordChangeForm):
    """The old password and a new one."""

    def __init__(self, user: Account, data: object = None) -> None:
        super().__init__(user, data)
        self.fields["old_password"].label = "Password until now"
        self.fields["new_password1"].label = "New password"
        self.fields["new_password1"].help_text = "10 letters or more."
        self.fields["new_password2"].label = "The new one once more"
        self.fields["new_password2"].help_text = ""
        for field in self.fields.values():
            field.widget.attrs.pop("autofocus", None)
