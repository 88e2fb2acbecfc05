"""The tables of people: accounts, where they are signed in, and links that sign a phone in.

None of them is part of the record: copying the notebook out takes no account along.
"""

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.sessions.base_session import AbstractBaseSession
from django.db import models

from graftwright.tongue import told


class AccountsByName(BaseUserManager["Account"]):
    """Finds accounts by name, whatever the case."""

    def get_by_natural_key(self, username: str | None) -> "Account":
        """Return the account that bears a name. Raises Account.DoesNotExist if none does."""
        return self.get(name=(username or "").strip().casefold())


class Account(AbstractBaseUser):
    """One person who may sign in; never deleted, only closed."""

    name = models.CharField(max_length=40, unique=True)
    initials = models.CharField(max_length=12, unique=True)
    role = models.CharField(max_length=20)
    is_active = models.BooleanField(default=True)
    made_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True)

    objects = AccountsByName()
    USERNAME_FIELD = "name"

    def __str__(self) -> str:
        return self.name


class SignIn(AbstractBaseSession):
    """One browser or phone that is signed in; its key is the sum of the secret, not the secret."""

    account = models.ForeignKey(Account, on_delete=models.CASCADE, null=True)
    phone_name = models.CharField(max_length=60, blank=True)
    made_at = models.DateTimeField()
    seen_on = models.DateField()

    def __str__(self) -> str:
        return self.phone_name or "browser"


class PairingLink(models.Model):
    """A link that signs one phone in once; only its sum is kept."""

    digest = models.CharField(max_length=64, unique=True)
    account = models.ForeignKey(Account, on_delete=models.CASCADE)
    made_at = models.DateTimeField()
    valid_until = models.DateTimeField()
    used_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return told("link until {valid_until}", valid_until=self.valid_until)
