"""Photos of what is in position, in the query that reads the stages themselves."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.contrib.postgres.expressions import ArraySubquery
from django.db.models import OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import JSONObject

from cases.bench.models import PlacedPhoto, Stage
from workshop.figures.queries import figures_valid

ASKED_FOR = "placed_photo_asked_for"
"""The workshop's setting: a photo is asked for at each stage that covers a part. It never holds anybody up."""


@dataclass(frozen=True)
class PhotoSeen:
    """A photo, or why there is none: then `because` says it. `feet` it shows, LEFT at left."""

    uuid: UUID
    because: str
    feet: str
    by: str
    at: datetime

    @classmethod
    def of(cls, row: Mapping[str, str]) -> "PhotoSeen":
        """A photo as the database wrote it in JSON."""
        feet = [foot for foot, stage in (("LEFT", row["left"]), ("RIGHT", row["right"])) if stage]
        at = datetime.fromisoformat(row["at"])
        return cls(UUID(row["uuid"]), row["because"], " and ".join(feet), row["by"], at)


def with_photos(stages: QuerySet[Stage], *, on: date) -> QuerySet[Stage]:
    """The same stages, each with its photos, and whether one is asked for on a day. No further query."""
    asked = figures_valid(on=on).filter(name=ASKED_FOR).values("value")
    return stages.annotate(photo_rows=photo_rows(), photo_asked=Subquery(asked[:1]))


def photo_rows() -> ArraySubquery:
    """The photos of a stage, the latest first, for `photos_of`."""
    photos = PlacedPhoto.objects.filter(Q(left=OuterRef("pk")) | Q(right=OuterRef("pk"))).order_by("-pk")
    row = JSONObject(
        uuid="uuid", left="left_id", right="right_id", because="left_out_because", by="by__initials", at="at"
    )
    return ArraySubquery(photos.values(row=row))


def photos_of(stages: Iterable[Stage]) -> tuple[PhotoSeen, ...]:
    """The photos of stages that `with_photos` read, each once, the latest first. No query."""
    rows = {row["uuid"]: row for stage in stages for row in stage.photo_rows}  # type: ignore[attr-defined]  # annotated
    return tuple(sorted((PhotoSeen.of(row) for row in rows.values()), key=lambda seen: seen.at, reverse=True))


def is_asked_for(stages: Iterable[Stage]) -> bool:
    """Whether the workshop asks for a photo, as `with_photos` read it. No query."""
    return any(stage.photo_asked for stage in stages)  # type: ignore[attr-defined]  # annotated
