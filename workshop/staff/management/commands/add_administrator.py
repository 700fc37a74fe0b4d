"""The first person of a workshop, who then makes the others on the page People."""

import getpass
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from shared.history import Program
from shared.refusals import Refused
from workshop.staff.actions import make_person
from workshop.staff.models import RoleKind


class Command(BaseCommand):
    help = "Make an administrator, who can then make everybody else. Asks for the password."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("login", help="the name to sign in with")
        parser.add_argument("name", help="the person's name, in quotes")

    def handle(self, *args: Any, login: str, name: str, **options: Any) -> None:
        try:
            make_person(
                login=login,
                name=name,
                initials="".join(word[0] for word in name.split())[:4],
                roles=[RoleKind.ADMINISTRATOR],
                password=getpass.getpass("Password: "),
                by=Program(),
                at=timezone.now(),
            )
        except Refused as refused:
            raise CommandError(refused.message) from None
        self.stdout.write(f"{name} can sign in as {login}.")
