"""Where every page of the program is found in the invented workshop, and who sits at which screen."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.db.models import Count, F
from django.urls import reverse
from playwright.sync_api import ViewportSize

from cases.bench.models import Pair, PairState
from cases.diary.models import Call, CallState, Visit
from cases.fittings.models import Fitting, HandOver, Review
from cases.lasts.models import Cast, Last, MeasureSet, RackFile, Scan
from cases.patients.models import Paper, Patient, RedFlag
from cases.prescriptions.models import Prescription
from tests.browser import BENCH, DESK, TABLET, TABLET_UPRIGHT
from tests.journeys.invented_workshop import InventedWorkshop, first
from workshop.figures.models import Material
from workshop.staff.models import Person

SCREENS: Mapping[str, Sequence[ViewportSize]] = {
    "reception": [DESK],
    "clinician": [TABLET, TABLET_UPRIGHT],
    "maker": [BENCH],
    "manager": [DESK],
    "administrator": [DESK],
    "nobody": [DESK],
    "nobody at a terminal": [BENCH],
}


@dataclass(frozen=True)
class Called:
    """An address, and the name of the page it leads to where that is another."""

    path: str
    leads_to: str = ""


Found = Callable[[InventedWorkshop, str], Sequence[Called]]


def _at(name: str, row: Callable[[InventedWorkshop], object]) -> Found:
    """One page about one row."""
    return lambda workshop, role: [Called(reverse(name, args=[row(workshop)]))]


def _plain(name: str, *asked: Mapping[str, str]) -> Found:
    """One page without a row, and once more for each thing that may be asked of it."""
    return lambda workshop, role: [
        Called(reverse(name) + (f"?{urlencode(query)}" if query else "")) for query in ({}, *asked)
    ]


FIRST_SCREENS = {
    "reception": "desk",
    "clinician": "clinic",
    "maker": "my-bench",
    "manager": "late",
    "administrator": "people",
}


def _home(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    return [Called("/", leads_to=FIRST_SCREENS[role])]


def _client(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """Whoever is outside the case is asked for a reason first."""
    is_outside = role in {"maker", "administrator"}
    flagged = first(RedFlag.objects.filter(answered_at__isnull=True)).patient
    return [
        Called(reverse("client", args=[workshop.opened.uuid])),
        Called(reverse("client", args=[workshop.unopened.uuid]), leads_to="open-record" if is_outside else ""),
        *([] if is_outside else [Called(reverse("client", args=[flagged.uuid]))]),
    ]


def _pair_benches(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """Pairs of every kind of work on the bench, and one that must take up a newer version first."""
    open_pairs = Pair.objects.filter(state=PairState.OPEN)
    shown = [first(open_pairs.filter(kind=kind)) for kind in ("new", "repeat", "repair", "adaptation")]
    differing = first(open_pairs.filter(differences__state="open"))
    return [Called(reverse("pair-bench", args=[pair.uuid])) for pair in (*shown, differing, workshop.behind)]


def _pairs(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    shown = [first(Pair.objects.filter(state=state)) for state in (PairState.OPEN, PairState.HANDED_OVER)]
    return [Called(reverse("pair", args=[pair.uuid])) for pair in shown]


def _prescriptions(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    signed = first(Prescription.objects.filter(status="signed"))
    return [Called(reverse("prescription", args=[version.uuid])) for version in (signed, workshop.draft)]


def _booking(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    call, address = first(Call.objects.filter(state=CallState.OPEN)), reverse("visit-book")
    return [
        Called(f"{address}?{urlencode({'q': 'a'})}"),
        Called(f"{address}?{urlencode({'patient': workshop.opened.uuid})}"),
        Called(f"{address}?{urlencode({'call': call.uuid})}"),
    ]


def _visits(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    shown = [
        first(Visit.objects.filter(status="done", kind__key="review")),
        first(Visit.objects.filter(status="booked")),
    ]
    return [Called(reverse("visit", args=[visit.uuid])) for visit in shown]


def _fittings_to_come(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """A rough fitting of one pair; and a visit of somebody who has several, about none of them."""
    rough = first(Visit.objects.filter(status="booked", kind__key="rough-fitting"))
    several = Patient.objects.annotate(how_many=Count("pairs")).filter(how_many__gt=1)
    unsaid = first(Visit.objects.filter(patient__in=several, about_uuid__isnull=True))
    return [Called(reverse("fitting-new", args=[visit.uuid])) for visit in (rough, unsaid)]


def _calculators(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """One that is empty, and one that was filled in."""
    address = reverse("calculator", args=["last-length"])
    return [Called(address), Called(f"{address}?foot_length_mm=270")]


def _client_casts(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """A client with a scan that waits, and one who has neither; a maker has opened one record alone."""
    scanned = first(Scan.objects.filter(taken_as__isnull=True)).patient
    shown = [workshop.opened] if role == "maker" else [workshop.opened, scanned]
    return [Called(reverse("client-casts", args=[patient.uuid])) for patient in shown]


def _scans(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """One that waits, and one whose measures were taken."""
    shown = [first(Scan.objects.filter(taken_as__isnull=waits)) for waits in (True, False)]
    return [Called(reverse("scan", args=[scan.uuid])) for scan in shown]


def _last_of(workshop: InventedWorkshop) -> object:
    return first(Last.objects.filter(owner__isnull=False, targets__isnull=False)).uuid


def _lasts(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """A stock last, one with a target, one with patches, and one that was altered and waits for the tape."""
    found = (
        Last.objects.filter(owner__isnull=True),
        Last.objects.filter(targets__isnull=False),
        Last.objects.filter(patches__isnull=False),
        Last.objects.filter(altered_on__isnull=False).exclude(measured_version=F("version")),
    )
    return [Called(reverse("last", args=[first(lasts).uuid])) for lasts in found]


def _rack_files(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """A file that is good and one with a bad line, chosen by whoever looks."""
    chosen = RackFile.objects.filter(person=workshop.people[role]).order_by("pk")
    return [Called(reverse("rack-file", args=[file.uuid])) for file in chosen]


def _nearest(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """A client who was measured, among stock and among the whole rack, and one who was not."""
    measured = first(MeasureSet.objects.all()).patient
    address = reverse("nearest-lasts", args=[measured.uuid])
    unmeasured = first(Patient.objects.filter(measure_sets__isnull=True))
    return [Called(address), Called(f"{address}?whose=all"), Called(reverse("nearest-lasts", args=[unmeasured.uuid]))]


def _worn(workshop: InventedWorkshop) -> object:
    return first(Pair.objects.filter(state=PairState.HANDED_OVER, kind="new")).uuid


def _opened(workshop: InventedWorkshop) -> object:
    return workshop.opened.uuid


def _adjusted() -> Pair:
    """The pair whose patterns were adjusted."""
    return first(Pair.objects.filter(adjustments__isnull=False))


def _patterns(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """A pair with an adjustment, one with an own template, and one that must take up a newer version first."""
    shown = (_adjusted(), first(Pair.objects.filter(own_templates__isnull=False)), workshop.behind)
    return [Called(reverse("patterns", args=[pair.uuid])) for pair in shown]


def _pieces(workshop: InventedWorkshop, role: str) -> Sequence[Called]:
    """A piece of which nothing is chosen, a figure, and a point."""
    address = reverse("pattern-piece", args=[_adjusted().uuid, "left", "stiffener"])
    insole = reverse("pattern-piece", args=[_adjusted().uuid, "right", "insole"])
    return [Called(address), Called(f"{address}?what=medial-reach"), Called(f"{insole}?what=toe_tip")]


def _on_the_bench(workshop: InventedWorkshop) -> object:
    return first(Pair.objects.filter(state=PairState.OPEN)).uuid


ADDRESSES: Mapping[str, Found] = {
    "sign-in": _plain("sign-in"),
    "terminal-unlock": _plain("terminal-unlock"),
    "terminal-pin": _at("terminal-pin", lambda workshop: Person.objects.get(login="bram").uuid),
    "home": _home,
    "people": _plain("people"),
    "person-new": _plain("person-new"),
    "person-edit": _at("person-edit", lambda workshop: Person.objects.get(login="bram").uuid),
    "locked-out": _plain("locked-out"),
    "terminals": _plain("terminals"),
    "hours": _plain("hours"),
    "figures": _plain("figures"),
    "figure-edit": _at("figure-edit", lambda workshop: "toe_spring_mm"),
    "materials": _plain("materials"),
    "material-add": _plain("material-add"),
    "material-edit": _at("material-edit", lambda workshop: first(Material.objects.filter(kind="leather")).uuid),
    "clients": _plain("clients", {"text": "a"}, {"text": "an"}),
    "client-new": _plain("client-new"),
    "client-edit": _at("client-edit", _opened),
    "ring-back": _at("ring-back", _opened),
    "client": _client,
    "open-record": _at("open-record", lambda workshop: workshop.unopened.uuid),
    "finding-add": _at("finding-add", _opened),
    "allergy-add": _at("allergy-add", _opened),
    "red-flag-raise": _at("red-flag-raise", _opened),
    "red-flag-answer": _at("red-flag-answer", lambda workshop: first(RedFlag.objects.all()).uuid),
    "diary": _plain("diary"),
    "visit-book": _booking,
    "visit": _visits,
    "calls": _plain("calls"),
    "measures-new": _at("measures-new", _opened),
    "measures": _at("measures", lambda workshop: first(MeasureSet.objects.all()).uuid),
    "cast-new": _at("cast-new", _opened),
    "casts": _plain("casts", {"text": "shelf"}, {"text": "no such cast"}, {"destroyed": "on"}),
    "client-casts": _client_casts,
    "cast": _at("cast", lambda workshop: first(Cast.objects.all()).uuid),
    "cast-move": _at("cast-move", lambda workshop: first(Cast.objects.filter(destroyed_on__isnull=True)).uuid),
    "scan-new": _at("scan-new", _opened),
    "scan": _scans,
    "cast-destroy": _at("cast-destroy", lambda workshop: first(Cast.objects.filter(destroyed_on__isnull=True)).uuid),
    "last-rack": _plain("last-rack", {"size": "EU 42"}, {"size": "large", "heel": "high"}, {"text": "no such last"}),
    "rack-import": _plain("rack-import"),
    "rack-file": _rack_files,
    "nearest-lasts": _nearest,
    "last": _lasts,
    "stock-last-new": _plain("stock-last-new"),
    "last-new": _at("last-new", _opened),
    "last-alter": _at("last-alter", _last_of),
    "last-measure": _at("last-measure", _last_of),
    "last-target": _at("last-target", _last_of),
    "last-patch-new": _at("last-patch-new", _last_of),
    "last-bottom": _at("last-bottom", lambda workshop: first(Last.objects.filter(cast__isnull=False)).uuid),
    "last-deformities": _at("last-deformities", _last_of),
    "prescription-new": _at("prescription-new", _opened),
    "prescription": _prescriptions,
    "prescription-drawing": _at(
        "prescription-drawing", lambda workshop: first(Prescription.objects.filter(status="signed")).uuid
    ),
    "prescription-patterns": _plain("prescription-patterns"),
    "order-document-add": _at("order-document-add", lambda workshop: workshop.draft.uuid),
    "prescription-sign": _at("prescription-sign", lambda workshop: workshop.draft.uuid),
    "my-bench": _plain("my-bench", {"all": ""}, {"find": "no such pair"}),
    "pair-bench": _pair_benches,
    "catch-up": _plain("catch-up"),
    "differences": _plain("differences"),
    "pair-open": _at("pair-open", lambda workshop: first(Prescription.objects.filter(status="signed")).uuid),
    "pair-repeat": _at("pair-repeat", _worn),
    "repair-open": _at("repair-open", _opened),
    "promise-again": _at("promise-again", _on_the_bench),
    "pair-give-up": _at("pair-give-up", _on_the_bench),
    "pair-weigh": _at("pair-weigh", _on_the_bench),
    "final-check": _at("final-check", lambda workshop: first(Pair.objects.filter(kind="new")).uuid),
    "pair": _pairs,
    "patterns": _patterns,
    "pattern-piece": _pieces,
    "cutting-of-pair": _at("cutting-of-pair", lambda workshop: _adjusted().uuid),
    "cutting-of-bench": _plain("cutting-of-bench", {"bench": "bottom"}),
    "fitting-new": _fittings_to_come,
    "fitting": _at("fitting", lambda workshop: first(Fitting.objects.all()).uuid),
    "hand-over-new": _at("hand-over-new", lambda workshop: workshop.hand_over_today.uuid),
    "hand-over": _at("hand-over", lambda workshop: first(HandOver.objects.all()).uuid),
    "review-new": _at(
        "review-new", lambda workshop: first(Visit.objects.filter(status="booked", kind__key="review")).uuid
    ),
    "review": _at("review", lambda workshop: first(Review.objects.all()).uuid),
    "desk": _plain("desk"),
    "clinic": _plain("clinic"),
    "late": _plain("late"),
    "notes": _plain("notes"),
    "calculators": _plain("calculators"),
    "calculator": _calculators,
}
"""Every page that is looked at, and where."""

PAPERS: Mapping[str, Sequence[str]] = {
    "job card": ("clinician", "maker", "manager"),
    "review letter": ("reception", "clinician", "manager"),
}


def address_of_paper(kind: str) -> str:
    """A paper of this kind that was printed."""
    return reverse("paper", args=[first(Paper.objects.filter(kind=kind)).uuid])


FILES = frozenset(
    {
        "paper",
        "order-document",
        "measures-sheet",
        "cast-label",
        "cast-labels",
        "scan-file",
        "rack-export",
        "patterns-svg",
        "patterns-dxf",
        "cutting-of-pair-pdf",
        "cutting-of-bench-pdf",
        "last-photo",
        "last-photo-small",
        "placed-photo",
        "placed-photo-small",
    }
)
"""Addresses that give out a file and no page."""

PARTS = frozenset({"prescription-panel"})
"""What a page asks for by itself and shows as a part of itself: it is looked at with that page."""

ONLY_SENT = frozenset(
    {
        "sign-out",
        "person-retire",
        "person-bring-back",
        "let-try-again",
        "terminal-revoke",
        "room-add",
        "closure-add",
        "closure-remove",
        "opening-hours-set",
        "finding-end",
        "allergy-end",
        "visit-arrive",
        "visit-done",
        "visit-missed",
        "visit-take-back",
        "visit-cancel",
        "call-tried",
        "call-settle",
        "call-rung-back",
        "measures-draft",
        "measures-draft-drop",
        "slip-answer",
        "scan-place",
        "scan-take",
        "last-agree",
        "last-move",
        "last-condition",
        "last-photo-add",
        "last-patch-drop",
        "last-sheet-print",
        "prescription-new-version",
        "prescription-withdraw",
        "prescription-keep",
        "prescription-open",
        "prescription-pattern-keep",
        "prescription-pattern-retire",
        "order-document-off",
        "order-take-over",
        "note-answer",
        "note-switch",
        "stage-tick",
        "stage-begin",
        "stage-take-back",
        "check-record",
        "check-measure",
        "placed-photo-add",
        "check-withdraw",
        "version-take-up",
        "difference-settle",
        "job-card-print",
        "review-letter-print",
        "pattern-adjust",
        "adjustment-take-back",
        "own-template-use",
        "own-template-end",
        "patterns-print",
    }
)

"""Addresses to which a form is sent and that nobody looks at."""


def roles_at(name: str, open_to: frozenset[str]) -> Sequence[str]:
    """Who looks at the page of this name."""
    if name in {"terminal-unlock", "terminal-pin"}:
        return ["nobody at a terminal"]
    if open_to == {"everybody"}:
        return ["nobody"]
    return sorted(FIRST_SCREENS) if open_to == {"staff"} else sorted(open_to)
