"""People of the workshop."""

from collections.abc import Sequence

from tests.factories.base import next_number, setting_up
from workshop.staff.models import Person, Role

PASSWORD = "a long enough password"


def make_person(
    *, name: str = "Some Body", roles: Sequence[str] = (), may_prescribe: bool = False, password: str | None = None
) -> Person:
    """A person with these roles. Without a password they can only be signed in by the test itself."""
    with setting_up():
        person = Person(
            login=f"person{next_number()}",
            name=name,
            initials="".join(word[0] for word in name.split())[:4],
            may_prescribe=may_prescribe,
        )
        if password is None:
            person.set_unusable_password()
        else:
            person.set_password(password)
        person.save()
        Role.objects.bulk_create(Role(person=person, kind=kind) for kind in roles)
    return person
