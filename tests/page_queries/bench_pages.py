"""The bench: what can be done, one pair, its differences; pairs that come and go."""

from datetime import timedelta

from django.utils import timezone

from cases.bench.actions import FinalEntry, promise_again, record_check, record_final, settle_difference
from cases.bench.models import Pair
from cases.bench.queries import final_sheet
from tests.bench.test_versions import LONGER, sign_next_version
from tests.factories.bench import bring_to, differ, load_starting_values, make_pair, make_placed_photo, requirement
from tests.factories.fittings import make_review, worn_pair
from tests.factories.patients import make_allergy, make_finding, make_patient
from tests.factories.prescriptions import make_signed_prescription, make_weighed_shoe
from tests.factories.staff import make_person
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene

PAIR = f"{KNOWN}; the pair"


def _board(scene: Scene) -> Asked:
    for name in scene.names():
        make_pair(
            by=scene.clinician, at=scene.now, patient=make_patient(record_number=name), written_by=scene.clinician
        )
    return Asked()


def _pair_with_differences(scene: Scene) -> Pair:
    """A pair whose stiffener was made again so many times, for a client with so many allergies."""
    pair = make_pair(by=scene.clinician, at=scene.now, written_by=scene.clinician)
    bring_to(pair, "last-backs", by=scene.clinician, at=scene.now)
    asked = requirement(pair, "stiffener")
    for name in scene.names():
        make_allergy(pair.patient, substance=name)
        make_placed_photo(pair, by=scene.clinician, at=scene.now)
        check = record_check(asked, outcome="differs", found="10 mm short", by=scene.clinician, at=scene.now)
        settle_difference(check.difference, state="undone", by=scene.clinician, at=scene.now)
    record_check(asked, outcome="differs", found="8 mm short", by=scene.clinician, at=scene.now)
    return pair


def _pair_bench(scene: Scene) -> Asked:
    return Asked([_pair_with_differences(scene).uuid])


def _relieved(scene: Scene) -> list[dict[str, object]]:
    return [{"place": name, "width_mm": 34, "height_mm": 26, "way": "cut out"} for name in scene.names()]


def _version_ahead(scene: Scene) -> Asked:
    pair = make_pair(by=scene.clinician, at=scene.now, written_by=scene.clinician)
    sign_next_version(pair, left={**LONGER, "reliefs": _relieved(scene)})
    return Asked([pair.uuid])


def _differences(scene: Scene) -> Asked:
    for name in scene.names():
        pair = make_pair(
            by=scene.clinician,
            at=scene.now,
            rough_fitting=False,
            construction="sandal",
            written_by=scene.clinician,
        )
        bring_to(pair, "cut-stiffeners", by=scene.clinician, at=scene.now)
        asked = requirement(pair, "stiffener", "part")
        differ(asked, name, by=scene.clinician, at=scene.now)
    return Asked()


def _signed_prescription(scene: Scene) -> Asked:
    load_starting_values()
    signed = make_signed_prescription(written_by=scene.clinician, both={"reliefs": _relieved(scene)})
    return Asked([signed.uuid])


def _worn(scene: Scene) -> Asked:
    pair = worn_pair(by=scene.clinician, at=scene.now)
    for number, name in enumerate(scene.names()):
        make_finding(pair.patient, condition="corn", place=name, found_by=scene.clinician)
        make_review(pair, by=scene.clinician, at=scene.now + timedelta(minutes=40 * (number + 1)))
    return Asked([pair.uuid])


def _client_with_pairs(scene: Scene) -> Asked:
    patient = make_patient()
    for _ in range(scene.rows):
        make_pair(by=scene.clinician, at=scene.now, patient=patient, written_by=scene.clinician)
    return Asked([patient.uuid])


def _promised(scene: Scene) -> Asked:
    pair = make_pair(by=scene.clinician, at=scene.now, written_by=scene.clinician)
    for number, name in enumerate(scene.names()):
        day = pair.promised_day + timedelta(days=number + 1)
        promise_again(pair, day=day, reason=name, by=scene.clinician, at=scene.now)
    return Asked([pair.uuid])


def _weighed(scene: Scene) -> Asked:
    pair = make_pair(by=scene.clinician, at=scene.now, written_by=scene.clinician)
    for name in scene.names():
        make_weighed_shoe(pair_uuid=pair.uuid, by=make_person(name=name))
    return Asked([pair.uuid])


def _photographed(scene: Scene) -> Asked:
    pair = make_pair(by=scene.clinician, at=scene.now, written_by=scene.clinician)
    kept = [make_placed_photo(pair, by=scene.clinician, at=scene.now) for _ in scene.names()]
    return Asked([kept[0].uuid])


def _finally_checked(scene: Scene) -> Asked:
    pair = make_pair(by=scene.clinician, at=scene.now, written_by=scene.clinician)
    bring_to(pair, "final-check", by=scene.clinician, at=scene.now)
    sheet = final_sheet(pair, on=timezone.localdate(scene.now))
    assert sheet is not None
    for name in scene.names():
        record_final(pair, [FinalEntry(sheet.seen[0], answer=name)], by=scene.clinician, at=scene.now)
        make_weighed_shoe(pair_uuid=pair.uuid, by=scene.clinician)
    return Asked([pair.uuid])


BOARD = "pairs with their stages and checks; next stages; their edges; differences; what dries; benches"
MY_BENCH = Counted("my-bench", "maker", 9, f"{KNOWN}; {BOARD}", "pairs on the bench", _board)
PAIR_BENCH = Counted(
    "pair-bench",
    "maker",
    12,
    f"{PAIR}; stages with photos and whether one is asked for; edges; differences; required checks; checks; allergies; last deed; last fitting",
    "allergies, photos, and differences that were undone",
    _pair_bench,
)
AHEAD = Counted(
    "pair-bench",
    "maker",
    6,
    f"{PAIR}; the signed version; both versions, their feet with every part",
    "reliefs of the new version",
    _version_ahead,
    case="newer version",
)

PAGES = [
    MY_BENCH,
    PAIR_BENCH,
    PAIR_BENCH.part("bench/pair.html#bench", 12, PAIR_BENCH.reads),
    AHEAD,
    AHEAD.part("bench/version_ahead.html#bench", 6, AHEAD.reads),
    Counted(
        "final-check",
        "maker",
        11,
        f"{PAIR}; its last stages; what comes first; the version with everything in it; its figures and materials; tolerances; what was "
        "found; what the shoes weighed",
        "lines that were looked at again, of which the latest stands, and weighings",
        _finally_checked,
        most_shown=1,
    ),
    Counted("placed-photo", "maker", 4, f"{KNOWN}; the photo", "photos, of which one", _photographed, most_shown=0),
    Counted(
        "placed-photo-small", "maker", 4, f"{KNOWN}; the photo", "photos, of which one", _photographed, most_shown=0
    ),
    Counted("catch-up", "maker", 9, f"{KNOWN}; {BOARD}", "pairs, each shown by its number", _board, most_shown=0),
    Counted("differences", "clinician", 4, f"{KNOWN}; the differences", "open differences", _differences),
    Counted(
        "pair-open",
        "clinician",
        4,
        f"{KNOWN}; the version, its feet with every part",
        "reliefs, which the form does not show",
        _signed_prescription,
        most_shown=0,
    ),
    Counted(
        "pair-repeat",
        "clinician",
        6,
        f"{PAIR}; whether the client came within a year; whether swelling was found since",
        "reviews of the pair and findings since",
        _worn,
        most_shown=0,
    ),
    Counted(
        "repair-open",
        "reception",
        4,
        f"{KNOWN}; the client",
        "pairs the client has already",
        _client_with_pairs,
        most_shown=0,
    ),
    Counted("promise-again", "reception", 5, f"{PAIR}; what was promised", "promises", _promised),
    Counted("pair-give-up", "manager", 4, PAIR, "promises, which the form does not show", _promised, most_shown=0),
    Counted("pair-weigh", "maker", 5, f"{PAIR}; what it weighed", "weighings", _weighed),
]
