"""Left and right, said in words everywhere."""

from django.db import models


class Side(models.TextChoices):
    """A foot, or the shoe of that foot, as the wearer sees it looking down."""

    LEFT = "left", "LEFT"
    RIGHT = "right", "RIGHT"

    @property
    def other(self) -> "Side":
        return Side.RIGHT if self is Side.LEFT else Side.LEFT


SIDES = (Side.LEFT, Side.RIGHT)


def side_check(name: str, field: str = "side") -> models.CheckConstraint:
    """A constraint by which a column holds a side and nothing else."""
    return models.CheckConstraint(condition=models.Q(**{f"{field}__in": Side.values}), name=name)


class Edge(models.TextChoices):
    """The side of one foot towards the other foot, or away from it."""

    MEDIAL = "medial", "medial"
    LATERAL = "lateral", "lateral"


def edge_check(name: str, field: str = "edge") -> models.CheckConstraint:
    """A constraint by which a column holds a side of a foot and nothing else."""
    return models.CheckConstraint(condition=models.Q(**{f"{field}__in": Edge.values}), name=name)
