"""The one next thing that a client's page offers. Pure: it is given what there is, and the person's roles."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from uuid import UUID


@dataclass(frozen=True)
class Offer:
    """The largest button of the page: its words, the page it leads to, and what that page is told."""

    words: str
    url_name: str
    args: tuple[UUID, ...] = ()
    query: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Standing:
    """How things stand with a client. Each is None or empty where there is none.

    `to_sign` and `to_open` are prescriptions: a draft, and a signed one without a pair. `waiting` is a pair on the
    bench that waits for a visit of the kind `waits_for_visit`, `ready` a finished pair, `worn` one that went home and
    was not reviewed.
    """

    patient: UUID
    roles: Collection[str]
    red_flag: UUID | None = None
    visit_today: UUID | None = None
    has_visit_to_come: bool = False
    has_findings: bool = False
    has_measures: bool = False
    to_sign: UUID | None = None
    has_prescription: bool = False
    to_open: UUID | None = None
    waits_for_visit: str = ""
    waiting: UUID | None = None
    ready: UUID | None = None
    worn: UUID | None = None


VISIT_WORDS = {"rough-fitting": "Book the rough fitting", "trial-shoe": "Book the fitting of the trial shoe"}


def next_thing(standing: Standing) -> Offer:
    """What is most worth doing now by somebody with these roles."""
    clinician = "clinician" in standing.roles
    offers: Sequence[Offer | None] = (
        _clinical(standing) if clinician else None,
        _booking(standing),
        _opening(standing) if {"clinician", "manager"} & set(standing.roles) else None,
        _prescribing(standing) if clinician else None,
    )
    return next((offer for offer in offers if offer), _book(standing, "Book a visit"))


def _clinical(standing: Standing) -> Offer | None:
    if standing.red_flag:
        return Offer("Answer the red flag", "red-flag-answer", (standing.red_flag,))
    if standing.visit_today:
        return Offer("Go to today's visit", "visit", (standing.visit_today,))
    return None


def _booking(standing: Standing) -> Offer | None:
    if standing.has_visit_to_come:
        return None
    if standing.ready:
        return _book(standing, "Book the final fitting", kind="final-fitting", about=standing.ready)
    if standing.waits_for_visit:
        words = VISIT_WORDS.get(standing.waits_for_visit, "Book the fitting")
        return _book(standing, words, kind=standing.waits_for_visit, about=standing.waiting)
    if standing.worn:
        return _book(standing, "Book the review", kind="review", about=standing.worn)
    return None


def _opening(standing: Standing) -> Offer | None:
    return Offer("Open the pair on the bench", "pair-open", (standing.to_open,)) if standing.to_open else None


def _prescribing(standing: Standing) -> Offer | None:
    if not standing.has_findings:
        return Offer("Record what was found", "finding-add", (standing.patient,))
    if not standing.has_measures:
        return Offer("Measure both feet", "measures-new", (standing.patient,))
    if standing.to_sign:
        return Offer("Go on with the draft", "prescription", (standing.to_sign,))
    if not standing.has_prescription:
        return Offer("Write the prescription", "prescription-new", (standing.patient,))
    return None


def _book(standing: Standing, words: str, *, kind: str = "", about: UUID | None = None) -> Offer:
    query = {"patient": str(standing.patient)}
    if kind:
        query["kind"] = kind
    if about:
        query["about"] = str(about)
    return Offer(words, "visit-book", query=query)
