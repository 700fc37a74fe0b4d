"""The request that a view of the workshop gets: somebody of the staff has signed in."""

from datetime import timedelta

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from workshop.staff.models import Person, Terminal


class StaffRequest(HttpRequest):
    """A request past the access check. `user` is a person; views annotate with this type."""

    user: Person
    terminal: Terminal | None
    locks_after: timedelta | None
    htmx: HtmxDetails
