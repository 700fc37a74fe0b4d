"""What is given out of patterns: sheets kept as papers, and files for a screen or a cutting table."""

from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from cases.bench.models import Pair
from cases.patients.kept_papers import Draft, print_once
from cases.patients.models import Paper, PaperKind
from cases.patterns import queries
from cases.patterns.papers import TEMPLATE, pattern_context
from cases.patterns.queries import Patterns
from cases.patterns.ready import refuse_to_cut, refuse_without_patterns
from cases.patterns.sheets.dxf import pieces_dxf
from cases.patterns.sheets.layout import sheets_of
from cases.patterns.sheets.paper import Group, Heading, PaperSize, groups_in
from cases.patterns.sheets.svg import pieces_svg
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person

KINDS = {PaperSize.A4: PaperKind.PATTERNS_A4, PaperSize.A3: PaperKind.PATTERNS_A3}


def patterns_to_cut(pair: Pair, *, on: date) -> Patterns:
    """The patterns of a pair that `queries.pair_named` read. Raises `Refused` where nothing may be cut from them."""
    refuse_without_patterns(pair)
    patterns = queries.patterns_of(pair, on=on)
    refuse_to_cut(patterns)
    if not patterns.drafted.pieces:
        raise Refused("No piece is drafted for this pair: the maker's own templates are used for all of them.")
    return patterns


@transaction.atomic
def print_patterns(pair: Pair, *, size: PaperSize, by: Person, at: datetime) -> Paper:
    """The pattern sheets of a pair, kept once for each state of them. Raises `Refused` as `patterns_to_cut`."""
    patterns = patterns_to_cut(pair, on=timezone.localdate(at))
    sheets = sheets_of(patterns.drafted.pieces, heading=heading_of(patterns), size=size)
    draft = Draft(
        patient=pair.patient,
        kind=KINDS[size],
        title=f"Pattern sheets {size.label}, pair {pair.number}",
        template=TEMPLATE,
        context=pattern_context(sheets),
        about_uuid=pair.uuid,
        pair_uuid=pair.uuid,
    )
    return print_once(draft, by=by, at=at)


def svg_file(patterns: Patterns, group: Group) -> bytes:
    """The pieces of a group at full size as SVG. Raises `Refused` where there are none."""
    _refuse_missing(patterns, group)
    return pieces_svg(patterns.drafted.pieces, heading=heading_of(patterns), group=group).encode()


def dxf_file(patterns: Patterns, group: Group) -> bytes:
    """The same as DXF, in millimetres, a layer for each kind of line."""
    _refuse_missing(patterns, group)
    return pieces_dxf(patterns.drafted.pieces, heading=heading_of(patterns), group=group)


def _refuse_missing(patterns: Patterns, group: Group) -> None:
    if group not in groups_in(patterns.drafted.pieces):
        raise Refused(f"There is no piece for {group.label} of this pair.")


def heading_of(patterns: Patterns) -> Heading:
    """What every sheet says it belongs to. Only a signed version is cut from, so that it has its day."""
    version = patterns.version
    lasts = [foot.last for foot in version.foot_set.all() if foot.last is not None]
    return Heading(
        pair_number=str(patterns.pair.number),
        record_number=patterns.pair.patient.record_number,
        version=version.version_no,
        signed_on=timezone.localdate(version.signed_at),
        drafted_from=tuple((Side(last.side), f"last {last.number}, state {last.version}") for last in lasts),
    )
