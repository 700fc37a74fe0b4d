"""Scans, and their numbers beside those of the tape. No query here fetches a scan's file."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import QuerySet

from cases.lasts.measures import MEASURES, MeasureKind
from cases.lasts.models import MeasureSet, Method, Scan
from cases.lasts.queries.measuring import measure_sets_of, values_of
from cases.lasts.scans import ScanMeasure, scan_measures
from cases.patients.models import Patient
from shared.sides import SIDES, Side


def scans_of(patient: Patient) -> QuerySet[Scan]:
    """The scans of a client, latest first. One query."""
    return patient.scans.defer("file").select_related("cast", "added_by").order_by("-made_on", "side", "-pk")


def fellow_scan(scan: Scan) -> Scan | None:
    """The scan of the other foot that was made in one go with this one and waits like it. One query."""
    return (
        Scan.objects.defer("file")
        .filter(
            patient=scan.patient_id,
            side=Side(scan.side).other,
            made_on=scan.made_on,
            load=scan.load,
            heel_height_mm=scan.heel_height_mm,
            taken_as__isnull=True,
        )
        .order_by("-pk")
        .first()
    )


def last_by_hand(patient: Patient) -> MeasureSet | None:
    """The latest sitting that was measured by hand, with its measures. Two queries, one where there is none."""
    return measure_sets_of(patient).exclude(method=Method.SCAN).first()


@dataclass(frozen=True)
class ScanCell:
    """A measure of one foot: by the scan, by hand the last time, and how much more the scan says, in mm."""

    side: Side
    measure: ScanMeasure | None
    by_hand_mm: Decimal | None

    @property
    def difference_mm(self) -> Decimal | None:
        if self.measure is None or self.by_hand_mm is None:
            return None
        return self.measure.value_mm - self.by_hand_mm

    @property
    def difference(self) -> str:
        """The same in words: +4.1 mm, −1.1 mm; empty where there is nothing to compare."""
        return "" if self.difference_mm is None else f"{self.difference_mm:+.1f} mm".replace("-", "−")


@dataclass(frozen=True)
class ScanRow:
    """One measure of both feet, side by side."""

    kind: MeasureKind
    left: ScanCell
    right: ScanCell


def scan_rows(scans: Sequence[Scan], by_hand: MeasureSet | None) -> list[ScanRow]:
    """What one scan, or one of each foot, offers beside what was measured by hand. No query where fetched."""
    found = {scan.side: {each.kind.key: each for each in scan_measures(scan.measured)} for scan in scans}
    left, right = (_cells(side, found.get(side, {}), by_hand) for side in SIDES)
    return [
        ScanRow(kind, left[kind.key], right[kind.key])
        for kind in MEASURES
        if left[kind.key].measure or right[kind.key].measure
    ]


def _cells(side: Side, found: Mapping[str, ScanMeasure], by_hand: MeasureSet | None) -> dict[str, ScanCell]:
    taken = values_of(by_hand, side) if by_hand else {}
    return {kind.key: ScanCell(side, found.get(kind.key), taken.get(kind.key)) for kind in MEASURES}
