"""A row with everything that belongs to it, from many tables in one query.

A record of thirty tables read row by row costs thirty queries; read by joins it is one, but building that query and
planning it takes far longer than running it. Here the text of the query is made once for a tree of tables, so that the
server, which prepares what it is asked again and again, plans it once for each connection. Only the rows come anew, as
one JSON value, and become the same instances that Django would have made.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache, cached_property
from typing import Any, TypeVar

from django.db import DEFAULT_DB_ALIAS, connection, models

Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True)
class Branch:
    """The rows of `kind` whose column `column` equals the column `of` of the row they belong to.

    Without a `column` every row belongs. `latest` takes only so many, the latest first; columns named in `without` stay
    unread.
    """

    kind: type[models.Model]
    column: str = ""
    of: str = "id"
    branches: "Mapping[str, Branch]" = field(default_factory=dict)
    latest: int | None = None
    without: tuple[str, ...] = ()


class Read:
    """One row, and by the name of each branch what was read below it.

    `values` are the row's columns as JSON has them; `row`, made of them once it is asked for, is Django's.
    """

    def __init__(self, branch: Branch, found: Mapping[str, Any]) -> None:
        self._branch = branch
        self.values: Mapping[str, Any] = found["row"]
        self.below: Mapping[str, Sequence[Read]] = {
            name: [Read(each, row) for row in found[name]] for name, each in branch.branches.items()
        }

    @cached_property
    def row(self) -> models.Model:
        names, columns = _columns(self._branch.kind, self._branch.without)
        held = self.values
        kept = [held[column] if as_kept is None else as_kept(held[column]) for column, as_kept in columns]
        return self._branch.kind.from_db(DEFAULT_DB_ALIAS, names, kept)

    def one(self, branch: str) -> models.Model | None:
        """The only row of a branch; None where there is none."""
        rows = self.below[branch]
        return rows[0].row if rows else None

    def several(self, branch: str) -> list[models.Model]:
        return [each.row for each in self.below[branch]]


@dataclass(frozen=True)
class Tree:
    """Rows of `kind` with what branches from them."""

    kind: type[models.Model]
    branches: Mapping[str, Branch]

    @cached_property
    def select(self) -> str:
        return f'SELECT {_json_of("top", self.branches)}::text FROM "{self.kind._meta.db_table}" top'

    def read(self, where: str, params: Sequence[Any]) -> list[Read]:
        """The rows for which `where` holds: SQL of our own, in which the table is called `top`. One query."""
        with connection.cursor() as cursor:
            cursor.execute(f"{self.select} WHERE {where}", params)
            found = cursor.fetchall()
        top = Branch(self.kind, branches=self.branches)
        # A decimal is read as what is written: by way of a float 0.1 would come back as another number.
        return [Read(top, json.loads(text, parse_float=Decimal)) for (text,) in found]


def _json_of(alias: str, branches: Mapping[str, Branch]) -> str:
    below = [f"'{name}', {_rows_of(each, alias, f'{alias}_{no}')}" for no, (name, each) in enumerate(branches.items())]
    pairs = ", ".join([f"'row', {alias}", *below])
    return f"json_build_object({pairs})"


def _rows_of(branch: Branch, above: str, alias: str) -> str:
    columns = ", ".join(f'"{column}"' for column, _ in _columns(branch.kind, branch.without)[1])
    order = "id" if branch.latest is None else f"id DESC LIMIT {branch.latest}"
    belong = f' WHERE "{branch.column}" = {above}."{branch.of}"' if branch.column else ""
    rows = f'SELECT {columns} FROM "{branch.kind._meta.db_table}"{belong} ORDER BY {order}'
    return f"(SELECT coalesce(json_agg({_json_of(alias, branch.branches)}), '[]') FROM ({rows}) {alias})"


@cache
def _columns(
    kind: type[models.Model], without: tuple[str, ...]
) -> tuple[list[str], list[tuple[str, Callable[[Any], Any] | None]]]:
    """The attributes of a row; and by column what makes of a JSON value what the column keeps, where they differ."""
    fields = [each for each in kind._meta.concrete_fields if each.name not in without]
    return [each.attname for each in fields], [(each.column, _reader(each)) for each in fields]


def _reader(column: "models.Field[Any, Any]") -> Callable[[Any], Any] | None:
    if isinstance(column, models.ForeignKey):
        return _reader(column.target_field)
    if isinstance(column, models.BinaryField):
        raise TypeError(f"{column} does not come as JSON: leave it out.")
    is_alike = isinstance(column, models.CharField | models.TextField | models.IntegerField | models.BooleanField)
    return None if is_alike else column.to_python
