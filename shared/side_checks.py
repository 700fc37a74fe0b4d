"""Constraints by which a column holds a side, or an edge of a foot, and nothing else."""

from django.db.models import CheckConstraint, Q

from shared.sides import Edge, Side


def side_check(name: str, field: str = "side") -> CheckConstraint:
    return CheckConstraint(condition=Q(**{f"{field}__in": Side.values}), name=name)


def edge_check(name: str, field: str = "edge") -> CheckConstraint:
    return CheckConstraint(condition=Q(**{f"{field}__in": Edge.values}), name=name)
