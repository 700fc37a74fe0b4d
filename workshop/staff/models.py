"""People of the workshop, the roles they hold, their PINs, and the terminals at the bench."""

import uuid
from collections.abc import Iterable
from functools import cached_property
from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import Q

from shared.history import keeps_history


class RoleKind(models.TextChoices):
    RECEPTION = "reception", "Reception"
    CLINICIAN = "clinician", "Clinician"
    MAKER = "maker", "Maker"
    MANAGER = "manager", "Manager"
    ADMINISTRATOR = "administrator", "Administrator"


class PersonQuerySet(models.QuerySet["Person"]):
    def working(self) -> "PersonQuerySet":
        """People who have not left."""
        return self.filter(retired_on__isnull=True)

    def holding(self, kind: RoleKind) -> "PersonQuerySet":
        return self.working().filter(roles__kind=kind)


class PersonManager(BaseUserManager["Person"]):
    def get_queryset(self) -> PersonQuerySet:
        return PersonQuerySet(self.model, using=self._db)

    def working(self) -> PersonQuerySet:
        return self.get_queryset().working()

    def holding(self, kind: RoleKind) -> PersonQuerySet:
        return self.get_queryset().holding(kind)


@keeps_history(unrecorded=["password"])
class Person(AbstractBaseUser):
    """Someone who works here and signs in. One person may hold several roles."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    login = models.CharField("sign-in name", max_length=60, unique=True)
    name = models.CharField(max_length=200)
    initials = models.CharField(max_length=4)
    may_prescribe = models.BooleanField(default=False)
    retired_on = models.DateField(null=True, blank=True)
    password_changed_at = models.DateTimeField(null=True, editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)
    last_login = None

    USERNAME_FIELD = "login"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name", "initials"]

    objects: ClassVar[PersonManager] = PersonManager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(condition=Q(name__length__gt=0), name="person_has_a_name"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_active(self) -> bool:  # type: ignore[override]  # Django asks for it; the day of leaving decides
        return self.retired_on is None

    @cached_property
    def role_kinds(self) -> frozenset[str]:
        """The kinds of all roles this person holds."""
        return frozenset(role.kind for role in self.roles.all())

    def holds_any_of(self, kinds: Iterable[str]) -> bool:
        return bool(self.role_kinds & frozenset(kinds))

    def narrow_to(self, kinds: Iterable[str]) -> None:
        """Keep only these kinds of roles, for as long as this object lives; nothing is saved."""
        self.role_kinds = self.role_kinds & frozenset(kinds)
        self.may_prescribe = self.may_prescribe and RoleKind.CLINICIAN in self.role_kinds


@keeps_history()
class Role(models.Model):
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="roles")
    kind = models.CharField(max_length=20, choices=RoleKind.choices)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["person", "kind"], name="a_role_is_held_once"),
            models.CheckConstraint(condition=Q(kind__in=RoleKind.values), name="role_is_known"),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.get_kind_display()}"


@keeps_history(unrecorded=["hash", "failed", "locked_until"])
class Pin(models.Model):
    """The short number with which a person takes over a bench terminal. Worth nothing anywhere else."""

    person = models.OneToOneField(Person, on_delete=models.PROTECT, related_name="pin")
    hash = models.CharField(max_length=200)
    failed = models.PositiveSmallIntegerField(default=0)
    locked_until = models.DateTimeField(null=True, blank=True)
    set_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"PIN of {self.person}"


@keeps_history(unrecorded=["key_hash"])
class Terminal(models.Model):
    """A device at the bench that a manager registered. The device holds the key, the row its hash."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=80)
    bench_key = models.SlugField("bench", max_length=30, blank=True)
    key_hash = models.CharField(max_length=64, unique=True)
    registered_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    registered_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.name


class Attempt(models.Model):
    """A try at a password or PIN, kept to slow down guessing.

    `account` is a keyed hash: people type passwords into the wrong field, and those must not stay here to be read.
    """

    account = models.CharField(max_length=64)
    address = models.GenericIPAddressField()
    at = models.DateTimeField()
    succeeded = models.BooleanField()

    class Meta:
        indexes = [
            models.Index(fields=["account", "at"], name="attempts_on_an_account"),
            models.Index(fields=["address", "at"], name="attempts_from_an_address"),
        ]

    def __str__(self) -> str:
        return f"{self.account[:8]} {self.at:%H:%M}"
