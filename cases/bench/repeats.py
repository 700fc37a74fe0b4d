"""When a pair made again on the same last wants a rough fitting after all."""

from datetime import datetime, timedelta

from django.utils import timezone

from cases.bench.models import Pair
from cases.diary.models import Visit, VisitStatus
from cases.patients.models import Finding

MONTHS_12 = timedelta(days=365)
SWELLING = ("oedema", "lymphoedema", "lateral_ankle_swelling", "medial_ankle_swelling")


def fitting_is_wanted(pair: Pair, *, at: datetime) -> bool:
    """True where the client was not seen for 12 months, or swelling was found after this pair was opened.

    From memory, unchecked. The weight (5 kg) is the third sign; it is not on record here.
    """
    today = timezone.localdate(at)
    seen = Visit.objects.filter(patient=pair.patient_id, status=VisitStatus.DONE, day__gte=today - MONTHS_12)
    if not seen.exists():
        return True
    return Finding.objects.filter(
        patient=pair.patient_id,
        condition__in=SWELLING,
        ended_on__isnull=True,
        found_on__gt=timezone.localdate(pair.opened_at),
    ).exists()
