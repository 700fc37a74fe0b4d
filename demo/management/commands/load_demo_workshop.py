"""Fills an empty database with the invented workshop, once."""

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from demo.load import load
from demo.people import SHOWN_AT_THE_START, STAFF
from workshop.staff.models import Person


class Command(BaseCommand):
    help = "Load the invented workshop into an empty database; does nothing where it is loaded already."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--print-sign-ins", action="store_true", help="only say who can sign in, and how")

    def handle(self, *args: Any, print_sign_ins: bool, **options: Any) -> None:
        if print_sign_ins:
            self._print_sign_ins()
            return
        if Person.objects.filter(login__in=[member.login for member in STAFF]).count() == len(STAFF):
            return
        try:
            call_command("prepare_workshop")
            load(now=timezone.now())
        except ValueError as trouble:
            raise CommandError(str(trouble)) from None

    def _print_sign_ins(self) -> None:
        self.stdout.write("Invented people, one for each role (sign-in name, password):")
        for member in STAFF:
            if member.login in SHOWN_AT_THE_START:
                roles = ", ".join(member.roles)
                pin = f", PIN {member.pin} at a bench terminal" if member.pin else ""
                self.stdout.write(f"  {member.login:8} {member.password:22} {member.name}: {roles}{pin}")
