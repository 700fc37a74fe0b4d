"""The rack as a file, photos of lasts, and the nearest lasts."""

from cases.lasts.actions import choose_rack_file, keep_photo
from shared.photos import kept_photo
from tests.factories.figures import load_figures
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_patient
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene
from tests.shared.test_photos import picture

HEAD = "number,side,length_mm,heel_height_mm,place,owner_record_number"


def _nothing(scene: Scene) -> Asked:
    for name in scene.names():
        make_last(number=name)
    return Asked()


def _chosen(scene: Scene) -> Asked:
    lines = [f"{name},left,285,22,A1,{make_patient().record_number}" for name in scene.names()]
    content = "\n".join([HEAD, *lines]).encode()
    return Asked([choose_rack_file(content, name="rack.csv", by=scene.clinician, at=scene.now).uuid])


def _photo(scene: Scene) -> Asked:
    last = make_last()
    kept = [
        keep_photo(last, jpeg=kept_photo(picture()), words=name, by=scene.clinician, at=scene.now)
        for name in scene.names()
    ]
    return Asked([kept[0].uuid])


def _near(scene: Scene) -> Asked:
    load_figures()
    patient = make_patient()
    make_measure_set(patient=patient)
    for name in scene.names():
        make_last(number=name)
    return Asked([patient.uuid])


PHOTO = f"{KNOWN}; the photo"

PAGES = [
    Counted("rack-import", "maker", 3, KNOWN, "lasts there are already", _nothing, most_shown=0),
    Counted(
        "rack-file",
        "clinician",
        6,
        f"{KNOWN}; the file; what stands on the rack; the clients it names",
        "lines of the file, each of another client",
        _chosen,
    ),
    Counted("rack-export", "manager", 4, f"{KNOWN}; the rack with its owners", "lasts", _nothing),
    Counted("last-photo", "maker", 4, PHOTO, "photos of the last, of which one", _photo, most_shown=0),
    Counted("last-photo-small", "maker", 4, PHOTO, "photos of the last, of which one", _photo, most_shown=0),
    Counted(
        "nearest-lasts",
        "maker",
        10,
        f"{KNOWN}; the client; sittings; measures of one; figures; findings; the rack; the lasts shown with their owners",
        "lasts on the rack, of which the eight nearest are shown",
        _near,
        most_shown=8,
    ),
]
