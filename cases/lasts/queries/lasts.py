"""The lasts on the rack."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.contrib.postgres.expressions import ArraySubquery
from django.db.models import Case, Exists, F, OuterRef, Q, QuerySet, Value, When
from django.db.models.functions import JSONObject, LPad

from cases.lasts.models import Last, LastAgreement, LastPhoto
from cases.lasts.sizes_asked import RangeAsked
from cases.patients import search
from shared.models import HistoryEntry
from shared.sides import SIDES
from workshop.staff.models import Person, RoleKind

MOST_ON_THE_RACK = 50
"""How many lasts one search shows; for more, type on."""

BY_NUMBER = Case(When(number__regex=r"^[0-9]+$", then=LPad("number", 30, Value("0"))), default=F("number"))
"""The order of the rack: 9 before 10, and plain numbers before those with a letter."""


def people_who_make_lasts() -> QuerySet[Person]:
    """Everybody who works here as a maker or clinician."""
    return Person.objects.working().filter(roles__kind__in=[RoleKind.MAKER, RoleKind.CLINICIAN]).distinct()


def fellow_of(last: Last) -> Last | None:
    """The last of the other foot under the same number. One query."""
    return Last.objects.filter(number=last.number).exclude(pk=last.pk).first()


def with_agreement(lasts: QuerySet[Last]) -> QuerySet[Last]:
    """The same lasts, each with `is_agreed`: somebody agreed it in its present state."""
    as_it_is = LastAgreement.objects.filter(last=OuterRef("pk"), last_version=OuterRef("version"))
    return lasts.annotate(is_agreed=Exists(as_it_is))  # type: ignore[no-redef]  # the model says that it may be there


def is_changed_after(last: Last, *, deed: int) -> bool:
    """Whether the state of a last counted up by something entered after this deed. One query."""
    counted_up = HistoryEntry.objects.filter(
        table_name=Last._meta.db_table, row_id=last.pk, operation="update", after__has_key="version"
    )
    return counted_up.filter(deed__gt=deed).exists()


@dataclass(frozen=True)
class Rack:
    """The lasts that a search found. `more`: there are others, type on."""

    lasts: Sequence[Last]
    more: bool


def rack(*, text: str = "", side: str = "", size: RangeAsked | None = None, heel: RangeAsked | None = None) -> Rack:
    """The register by number, owner and place; every word typed must be in one of them. One query.

    `size` finds by the length of the last and by what is marked on it.
    """
    found = with_agreement(Last.objects.select_related("owner"))
    if side in SIDES:
        found = found.filter(side=side)
    for word in text[: search.LONGEST_SEARCH].split()[: search.MOST_WORDS]:
        matches = Q(number__icontains=word) | Q(place__icontains=word)
        if folded := search.fold(word):
            matches |= Q(owner__search_text__contains=folded)
        found = found.filter(matches)
    if size is not None:
        of_this_size = Q(length_mm__gte=size.least_mm, length_mm__lte=size.most_mm)
        found = found.filter(of_this_size | Q(marked_size__iregex=size.marked) if size.marked else of_this_size)
    if heel is not None:
        found = found.filter(heel_height_mm__gte=heel.least_mm, heel_height_mm__lte=heel.most_mm)
    lasts = list(found.order_by(BY_NUMBER, "side")[: MOST_ON_THE_RACK + 1])
    return Rack(lasts=lasts[:MOST_ON_THE_RACK], more=len(lasts) > MOST_ON_THE_RACK)


@dataclass(frozen=True)
class ShownPhoto:
    """A photo of a last without the picture itself."""

    uuid: UUID
    words: str
    by: str
    at: datetime

    @classmethod
    def of(cls, row: Mapping[str, str]) -> "ShownPhoto":
        return cls(UUID(row["uuid"]), row["words"], row["by"], datetime.fromisoformat(row["at"]))


def with_photos(lasts: QuerySet[Last]) -> QuerySet[Last]:
    """The same lasts, each with `photo_rows` for `photos_on`, in the same query."""
    rows = LastPhoto.objects.filter(last=OuterRef("pk")).order_by("-pk")
    row = JSONObject(uuid="uuid", words="words", by="by__name", at="at")
    return lasts.annotate(photo_rows=ArraySubquery(rows.values(row=row)))


def photos_on(last: Last) -> list[ShownPhoto]:
    """The photos of a last of `with_photos`, the latest first; `lasts/_photos.html` shows them. No query."""
    return [ShownPhoto.of(row) for row in getattr(last, "photo_rows", None) or ()]
