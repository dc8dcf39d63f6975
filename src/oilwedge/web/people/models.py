"""Accounts and the invitations that make them."""

from __future__ import annotations

from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models


class Role(models.TextChoices):
    """What somebody is in the shop."""

    LEAD = "lead", "lead"
    BUILDER = "builder", "builder"
    VIEWER = "viewer", "viewer"
    PUPIL = "pupil", "pupil"


class Accounts(BaseUserManager["Account"]):
    """Finds accounts by their name, whatever its case."""

    def get_by_natural_key(self, username: str | None) -> Account:
        """The account of a name."""
        return self.get(username__iexact=username or "")


class Account(AbstractBaseUser):
    """Somebody who comes in with a name and a password.

    ``erased_at``: the name was blanked on request; the account stays so that what hangs on it
    does, but nobody comes in with it any more.
    """

    username = models.CharField(max_length=60, unique=True)
    full_name = models.CharField(max_length=120)
    role = models.CharField(max_length=10, choices=Role.choices)
    is_active = models.BooleanField(default=True)
    created_at = models.DateTimeField(auto_now_add=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["full_name"]
    objects: ClassVar[Accounts] = Accounts()

    class Meta:
        """Sorted by name."""

        ordering: ClassVar[list[str]] = ["full_name", "username"]

    def __str__(self) -> str:
        return self.full_name or self.username

    def get_full_name(self) -> str:
        """The name as it stands on sheets."""
        return self.full_name or self.username


class Invitation(models.Model):
    """A link that makes one account, once. Only the hash of its token is kept."""

    token_hash = models.CharField(max_length=64, unique=True)
    role = models.CharField(max_length=10, choices=Role.choices)
    full_name = models.CharField(max_length=120, blank=True)
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="invitations_made")
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    used_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True)


class ApiToken(models.Model):
    """A key for another program. Only its hash is kept; ``scopes`` are words apart by blanks."""

    token_hash = models.CharField(max_length=64, unique=True)
    title = models.CharField(max_length=80)
    account = models.ForeignKey(Account, on_delete=models.CASCADE)
    scopes = models.CharField(max_length=200)
    made_at = models.DateTimeField(auto_now_add=True)
    last_used_at = models.DateTimeField(null=True, blank=True)
    expires_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)


class StartToken(models.Model):
    """The token in the address that ``oilwedge serve`` opens; hashed, used once."""

    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    used_at = models.DateTimeField(null=True, blank=True)
