"""What is going on in the invented workshop just now: something drying, a difference waiting, a full diary."""

from collections.abc import Mapping
from datetime import timedelta

from cases.bench import actions as bench
from cases.bench.models import Pair, PairState
from cases.diary import actions as diary
from cases.patients.models import Patient
from demo.bench import Bench
from demo.clinic import Clinic
from demo.photos import backs_in_position

PASTED = timedelta(hours=3)


def start_drying(clinic: Clinic, pair: Pair) -> None:
    """The stiffeners were pasted in a few hours ago, photographed in position: the backs are drying."""
    at_bench = Bench(pair=pair, makers=[clinic.staff["bram"]], clock=clinic.now - PASTED, now=clinic.now)
    backs = at_bench.next_stages()
    bench.keep_placed_photo(
        pair, stages=backs, jpeg=backs_in_position(), by=clinic.staff["bram"], at=clinic.now - PASTED
    )
    at_bench.tick(backs, at=clinic.now - PASTED)


def raise_a_difference(clinic: Clinic, pair: Pair) -> None:
    """A part came out otherwise than prescribed; a maker said so, and a clinician has not yet answered."""
    at_bench = Bench(pair=pair, makers=[clinic.staff["sunniva"]], clock=clinic.now, now=clinic.now)
    waiting = [asked for asked in at_bench.requirements(at_bench.next_stages()) if asked.side == "right"]
    bench.record_found(
        [at_bench.found(waiting[0], "relief came out 31 × 26 mm; prescribed 34 × 26 mm")],
        by=clinic.staff["sunniva"],
        at=clinic.now - timedelta(hours=2),
    )


def _seen_at(kind: str, latest: Pair) -> Pair:
    """The pair a visit is about: at a review the one that went home last, else the client's latest."""
    if kind != "review":
        return latest
    worn: Pair = Pair.objects.filter(patient=latest.patient, state=PairState.HANDED_OVER).latest("number")
    return worn


def _miss_one(clinic: Clinic, pair: Pair) -> None:
    """Somebody did not come on the last working day, and is to be called."""
    visit = clinic.book(pair.patient, "alteration", clinic.day(-1), clinician="tomas", about=pair.uuid)
    diary.miss_visit(visit, by=clinic.staff["nell"], at=visit.during.upper)


def fill_the_diary(clinic: Clinic, pairs: Mapping[str, Pair]) -> None:
    """Visits of today and the days to come, and people to be called."""
    today, nell = clinic.day(0), clinic.staff["nell"]
    for key, days, kind, clinician in (
        ("metatarsalgia", 0, "rough-fitting", "iris"),
        ("hypermobile", 0, "final-fitting", "iris"),
        ("foot-drop", 0, "review", "tomas"),
        ("haglund", 2, "alteration", "tomas"),
    ):
        pair = _seen_at(kind, pairs[key])
        visit = clinic.book(pair.patient, kind, clinic.day(days), clinician=clinician, about=pair.uuid)
        if kind in {"rough-fitting", "final-fitting", "review"}:
            bench.link_visit(pair, visit, by=nell, at=clinic.now)
    for record_number, days, kind, clinician in (
        ("1055", 0, "assessment", "tomas"),
        ("1056", 1, "assessment", "iris"),
        ("1055", 4, "measures-and-cast", "iris"),
    ):
        clinic.book(Patient.objects.get(record_number=record_number), kind, clinic.day(days), clinician=clinician)
    _miss_one(clinic, pairs["hammer-toes"])
    diary.book_drop_in(
        patient=pairs["repair"].patient,
        kind=clinic.kinds["drop-in"],
        day=today,
        note="brings the other pair to be looked at",
        by=nell,
        at=clinic.now,
    )
