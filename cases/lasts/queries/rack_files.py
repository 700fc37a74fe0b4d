"""The rack as a file, and a file against the rack."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.http import Http404

from cases.lasts.models import Last, RackFile
from cases.lasts.rack_columns import BY_NAME, Value
from cases.lasts.rack_files import BadLine, OnTheRack, RackLine, RackRead, against_the_rack, read_rack_file
from cases.patients.models import Patient
from workshop.staff.models import Person

OWNER = "owner_record_number"


@dataclass(frozen=True)
class LookedAt:
    """A file as it was read, and everything that stands against taking it in, in the order of its lines."""

    read: RackRead
    bad: Sequence[BadLine]

    @property
    def lines(self) -> Sequence[RackLine]:
        """The lines that are good in themselves and against the rack."""
        amiss = {each.line for each in self.bad}
        return [line for line in self.read.lines if line.line not in amiss] if self.bad else self.read.lines

    @property
    def how_many_bad(self) -> int:
        """How many lines of the file are bad; one may be so for several reasons."""
        return len({each.line for each in self.bad})


def rack_file(uuid: UUID, *, person: Person) -> RackFile:
    """A file that this person chose. Raises `Http404`. One query."""
    found = RackFile.objects.filter(uuid=uuid, person=person).first()
    if found is None:
        raise Http404
    return found


def looked_at(file: RackFile, *, today: date) -> LookedAt:
    """A chosen file against the rack as it stands now. Two queries. Raises `BadFile`."""
    read = read_rack_file(bytes(file.content), today=today)
    bad = [*read.bad, *against_the_rack(read.lines, _on_the_rack(read.lines))]
    return LookedAt(read, sorted(bad, key=lambda each: each.line))


def _on_the_rack(lines: Sequence[RackLine]) -> OnTheRack:
    rows = list(Last.objects.order_by().values_list("number", "side", "owner__record_number"))
    asked = {str(line.values[OWNER]) for line in lines} - {""}
    known = Patient.objects.filter(record_number__in=asked).values_list("record_number", flat=True)
    return OnTheRack(
        owners={number: record_number or "" for number, _, record_number in rows},
        lasts={(number, side) for number, side, _ in rows},
        clients=set(known),
    )


def rows_of_the_rack() -> Iterator[Mapping[str, Value]]:
    """Every last of the rack as a row of its file, in the order of their numbers. One query."""
    columns = {name: "owner__record_number" if name == OWNER else name for name in BY_NAME}
    for row in Last.objects.order_by("number", "side").values_list(*columns.values()).iterator():
        yield {name: "" if value is None and name == OWNER else value for name, value in zip(columns, row, strict=True)}
