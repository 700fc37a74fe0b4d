"""Photos of what lies in position before it is closed in: one of both feet, at each stage that covers."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.bench.models.guards import photo_comes_before_the_cover
from cases.bench.models.stages import Stage
from shared.checksums import hash_check
from shared.guards import never_changes
from shared.history import keeps_history

PERSON = settings.AUTH_USER_MODEL


@keeps_history(unrecorded=["jpeg"])
class PlacedPhoto(models.Model):
    """What lay in position in the stages of one or both feet, LEFT at left; or why there is no photo of it."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    left = models.ForeignKey(Stage, on_delete=models.PROTECT, null=True, blank=True, related_name="photos_as_left")
    right = models.ForeignKey(Stage, on_delete=models.PROTECT, null=True, blank=True, related_name="photos_as_right")
    jpeg = models.BinaryField(null=True)
    sha256 = models.CharField(max_length=64, blank=True)
    left_out_because = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(left__isnull=False) | Q(right__isnull=False), name="a_placed_photo_is_of_a_foot"
            ),
            models.CheckConstraint(
                condition=Q(jpeg__isnull=False, left_out_because="")
                | Q(jpeg__isnull=True, sha256="", left_out_because__length__gt=0),
                name="a_photo_or_why_there_is_none",
            ),
            hash_check("placed_photo_matches_its_hash", of="jpeg"),
        ]
        triggers = [
            photo_comes_before_the_cover(),
            never_changes("placed_photo_is_final", sentence="A photo of what was in position is not changed."),
        ]

    def __str__(self) -> str:
        return f"photo of {self.left or self.right}"
