"""One last: what it must become, and what is done on it."""

from decimal import Decimal

from cases.lasts import actions
from cases.lasts.models import Last
from shared.sides import Side
from tests.factories.base import setting_up
from tests.factories.figures import load_figures
from tests.factories.lasts import agreed, make_cast, make_last, make_measure_set
from tests.factories.patients import make_finding, make_patient
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene

LAST = f"{KNOWN}; the last with owner, hands, cast and photos; agreements"


def _full(scene: Scene) -> Asked:
    """A last with rows of agreements, targets, patches, looks at its bottom and deformities, and its fellow."""
    load_figures()
    by, at = scene.clinician, scene.now
    owner = make_patient()
    last = make_last(owner=owner, number="7", cast=make_cast(patient=owner), joint_girth_mm=Decimal(250))
    make_last(owner=owner, number="7", side="right")
    measure_set = make_measure_set(patient=owner, taken_by=by)
    for name in scene.names():
        with setting_up():
            Last.objects.filter(pk=last.pk).update(version=last.version + 1)
        last.refresh_from_db()
        agreed(last, by=by)
        actions.set_last_target(last, measure_set=measure_set, footwear_kind="low", hose="thin", by=by, at=at)
        actions.plan_patch(last, work="build up", place=name, height_mm=Decimal(3), by=by, at=at)
        seen = [actions.BottomSeen("arch", "fits")]
        actions.check_bottom(last, seen=seen, by_gauge=False, seen_version=last.version, by=by, at=at)
        finding = make_finding(owner, condition="hammer_toe", side=Side.LEFT, place=name, found_by=by)
        actions.handle_deformity(last, finding=finding, handled="accommodated", by=by, at=at)
    return Asked([last.uuid])


def _sittings(scene: Scene) -> Asked:
    asked = _full(scene)
    owner = Last.objects.get(uuid=str(asked.args[0])).owner
    for _ in scene.names():
        make_measure_set(patient=owner, taken_by=scene.clinician)
    return asked


MUCH = "agreements, targets, patches, looks and deformities"

PAGES = [
    Counted(
        "last",
        "maker",
        11,
        f"{LAST}; findings with how each is handled; patches; bottom; target with its sitting; its measures; figures",
        f"{MUCH}, of which patches and deformities are shown",
        _full,
    ),
    Counted("last-alter", "maker", 6, f"{LAST}; patches", f"{MUCH}, of which planned patches are offered", _full),
    Counted("last-measure", "maker", 5, LAST, f"{MUCH}, which the form does not show", _full, most_shown=0),
    Counted(
        "last-target",
        "maker",
        8,
        f"{LAST}; both lasts; their targets; sittings",
        "targets, and sittings offered by their day",
        _sittings,
        most_shown=0,
    ),
    Counted("last-patch-new", "maker", 5, LAST, f"{MUCH}, which the form does not show", _full, most_shown=0),
    Counted("last-bottom", "maker", 5, LAST, f"{MUCH}, which the form does not show", _full, most_shown=0),
    Counted("last-deformities", "maker", 6, f"{LAST}; findings with how each is handled", "deformities", _full),
]
