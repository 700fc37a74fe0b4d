"""The first person of a new workshop: an administrator, who makes everybody else's account on the screen."""

from getpass import getpass
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from shared.history import Program
from shared.refusals import Refused
from workshop.staff.actions import make_person
from workshop.staff.models import RoleKind


class Command(BaseCommand):
    help = "Make an administrator's account. The password is asked for, and not shown."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("login", help="the sign-in name")
        parser.add_argument("name", help="the person's full name, in quotation marks")

    def handle(self, *args: Any, login: str, name: str, **options: Any) -> None:
        try:
            make_person(
                login=login,
                name=name,
                initials="".join(word[0] for word in name.split())[:4].upper(),
                roles=[RoleKind.ADMINISTRATOR],
                password=getpass("Password: "),
                by=Program(),
                at=timezone.now(),
            )
        except Refused as refused:
            raise CommandError(refused.message) from None
        self.stdout.write(f"{name} can sign in as {login}.")
