"""A file of lasts that somebody chose and that was not taken in yet."""

import uuid

from django.conf import settings
from django.db import models


class RackFile(models.Model):
    """A file as it was chosen, kept until it is taken in or a day has passed. No record: the lasts made of it are."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=120)
    content = models.BinaryField()
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    chosen_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name
