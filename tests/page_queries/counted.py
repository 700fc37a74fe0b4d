"""What the table says of one page."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from django.urls import reverse

from tests.conftest import Browserless
from workshop.staff.models import Person

HOW_MANY = (1, 3, 30)
NOBODY = "nobody"
KNOWN = "session, person, roles"
"""What is read of whoever is signed in, on every page."""

ROW = re.compile(r"row-\d+")


@dataclass(frozen=True)
class Scene:
    """What a page is opened in: so many rows to make, a moment of today, and the browser it is opened with.

    The clinician may prescribe, and is the one who looks, where a clinician looks.
    """

    rows: int
    now: datetime
    clinician: Person
    browser: Browserless

    def names(self) -> Iterator[str]:
        """A name for each row to make, told apart on the page."""
        return (f"row-{number}" for number in range(1, self.rows + 1))


@dataclass(frozen=True)
class Asked:
    """What the address names, and what is asked of it."""

    args: Sequence[object] = ()
    query: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class Counted:
    """One page, or one fragment of one, and the number of its queries.

    `reads` is the reason of the number: what is read, each in one query unless said. `grows` says what there are 1, 3
    and 30 of; each stands on the page by a name of `Scene.names`, as far as `most_shown` of them. With `most_shown=0`
    they are there to be read and are not shown.
    """

    name: str
    role: str
    queries: int
    reads: str
    grows: str
    opened: Callable[[Scene], Asked]
    case: str = ""
    fragment: str = ""
    most_shown: int = 30

    def part(self, fragment: str, queries: int, reads: str, *, most_shown: int | None = None) -> "Counted":
        """The fragment of this page that a target asks for: `template.html#target`."""
        shown = self.most_shown if most_shown is None else most_shown
        return replace(self, fragment=fragment, queries=queries, reads=reads, most_shown=shown)

    def __str__(self) -> str:
        return " ".join(word for word in (self.name, self.case, self.fragment.rpartition("#")[2]) if word)

    def headers(self) -> dict[str, str]:
        return {"HX-Request": "true", "HX-Target": self.fragment.rpartition("#")[2]} if self.fragment else {}

    def address(self, asked: Asked) -> str:
        return reverse(self.name, args=list(asked.args), query={key: str(value) for key, value in asked.query.items()})

    def shown_in(self, text: str) -> int:
        """How many of the rows stand on the page."""
        return len(set(ROW.findall(text)))
