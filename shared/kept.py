"""A form that was sent after its sign-in had ended: carried through the sign-in, so that nothing typed is lost."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlsplit

from django.http import HttpRequest

from shared.once import FIELD, UNHASHED_FIELDS

NEVER_CARRIED = UNHASHED_FIELDS - {FIELD}
"""The sign of the ended sign-in, and secrets: whoever sends the form again types those again."""

OF_THE_PAGE = {FIELD, "next", "seen_version"}
"""What a form holds that no person typed."""


@dataclass(frozen=True)
class KeptForm:
    """Where a form was to go, as a path of this server, and everything it held."""

    address: str
    entries: tuple[tuple[str, str], ...]

    @classmethod
    def of(cls, request: HttpRequest) -> "KeptForm":
        """What this request brought."""
        names = (name for name in request.POST if name not in NEVER_CARRIED)
        entries = tuple((name, value) for name in names for value in request.POST.getlist(name))
        return cls(address=request.get_full_path(), entries=entries)

    @classmethod
    def read(cls, sent: Mapping[str, str]) -> "KeptForm | None":
        """What a sign-in form carries; None where it carries nothing, or nothing that we packed."""
        try:
            address, entries = json.loads(sent.get("kept", ""))
            read = cls(address=address, entries=tuple((name, value) for name, value in entries))
        except (ValueError, TypeError, RecursionError):
            return None
        words = [read.address, *(word for entry in read.entries for word in entry)]
        return read if all(isinstance(word, str) for word in words) and _is_ours(read.address) else None

    @property
    def packed(self) -> str:
        """The same as one hidden field of a sign-in form."""
        return json.dumps([self.address, self.entries])

    @property
    def typed(self) -> list[tuple[str, str]]:
        """What a person filled in, with the names of the fields in words."""
        return [(name.replace("_", " "), value) for name, value in self.entries if value and name not in OF_THE_PAGE]


def _is_ours(address: str) -> bool:
    try:
        parts = urlsplit(address)
    except ValueError:
        return False
    return address.startswith("/") and not address.startswith(("//", "/\\")) and not (parts.scheme or parts.netloc)
