"""The diary, booking, and the to-call list."""

from datetime import timedelta
from uuid import uuid4

from django.utils import timezone

from tests.factories.diary import make_call, make_drop_in, make_visit, open_the_workshop
from tests.factories.hours import make_room
from tests.factories.patients import make_patient
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene


def _day(scene: Scene) -> Asked:
    clinician = scene.clinician
    open_the_workshop()
    for number, name in enumerate(scene.names()):
        starts_at = scene.now + timedelta(minutes=10 * number)
        make_visit(starts_at=starts_at, minutes=10, clinician=clinician, patient=make_patient(family_name=name))
        make_drop_in(day=timezone.localdate(scene.now))
    return Asked()


def _whose(scene: Scene) -> Asked:
    for name in scene.names():
        make_patient(family_name=name)
    return Asked(query={"q": "row"})


def _booking(scene: Scene) -> Asked:
    patient, clinician = make_patient(), scene.clinician
    open_the_workshop()
    for number, name in enumerate(scene.names()):
        minutes = timedelta(minutes=10 * number)
        make_room(name=name)
        make_visit(starts_at=scene.now + timedelta(days=1) + minutes, minutes=10, clinician=clinician)
        make_visit(starts_at=scene.now + timedelta(days=2) + minutes, minutes=10, patient=patient)
    return Asked(query={"patient": patient.uuid, "kind": "review", "clinician": clinician.uuid})


def _calls(scene: Scene) -> Asked:
    today = timezone.localdate(scene.now)
    for name in scene.names():
        make_call(due_on=today, patient=make_patient(family_name=name))
        make_call(due_on=today + timedelta(days=30))
    return Asked()


def _ring_back(scene: Scene) -> Asked:
    patient = make_patient()
    for _ in range(scene.rows):
        make_call(due_on=timezone.localdate(scene.now), patient=patient, about_uuid=uuid4())
    return Asked([patient.uuid])


WHOSE = Counted(
    "visit-book", "reception", 4, f"{KNOWN}; clients found", "clients found", _whose, case="for whom", most_shown=20
)
BOOKING = Counted(
    "visit-book",
    "reception",
    11,
    f"{KNOWN}; the client; their last visit; what they are booked for; kinds, clinicians and rooms in one each; visits "
    "ahead; opening hours with closures",
    "rooms, visits of the clinician, visits of the client",
    _booking,
    case="when",
)

PAGES = [
    Counted(
        "diary",
        "reception",
        8,
        f"{KNOWN}; visits of the day; clinicians; opening hours; closures; counts of the week",
        "visits, drop-ins",
        _day,
    ),
    WHOSE,
    WHOSE.part("diary/whose.html#found", 4, f"{KNOWN}; clients found"),
    BOOKING,
    BOOKING.part(
        "diary/book.html#times",
        6,
        f"{KNOWN}; the kind of visit with the clinician; visits ahead; opening hours with closures",
        most_shown=0,
    ),
    Counted(
        "ring-back",
        "reception",
        4,
        f"{KNOWN}; the client",
        "calls to the client that are open, which are not shown here",
        _ring_back,
        most_shown=0,
    ),
    Counted("calls", "reception", 5, f"{KNOWN}; calls due; calls of a later day", "calls due and later", _calls),
]
