"""The review letter: what a referrer reads of the feet, the pair that was made, and how it is worn."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.conf import settings
from django.db.models import Q
from django.utils import timezone

from cases.bench.checks_asked import part_words
from cases.bench.models import Difference, DifferenceState
from cases.fittings.models import Review
from cases.overview.side_by_side import side_by_side
from cases.patients.conditions import CONDITIONS
from cases.patients.kept_papers import Draft, print_once
from cases.patients.models import Finding, Paper, PaperKind, Patient, YesNoUnknown
from cases.patients.risk import LiveFinding, Screening, screening_risk
from cases.prescriptions.described import describe
from cases.prescriptions.queries import whole
from shared.refusals import Refused
from shared.sides import SIDES
from workshop.staff.models import Person

NO_CONSENT = "The client has not agreed to letters to the referrer. Record their consent first."
NO_REFERRER = "No referrer is recorded for this client: there is nobody to write to."
MOST_PAGES = 2
"""The letter, and the prescription enclosed with it."""
TELLS_THE_SAME = frozenset({"last"})
"""Parts that tell a referrer nothing."""


@dataclass(frozen=True)
class FindingInWords:
    """A finding in the clinical word and the plain one, with where, how marked, fixed or flexible, since when."""

    clinical: str
    plain: str
    more: str


@dataclass(frozen=True)
class FootFound:
    side: str
    findings: tuple[FindingInWords, ...]


@dataclass(frozen=True)
class FootSkin:
    side: str
    skin: str
    shoe: str


def print_review_letter(uuid: UUID, *, by: Person, at: datetime) -> Paper:
    """The letter about a review, kept. Raises `Review.DoesNotExist`, and `Refused` without consent or a referrer."""
    review = Review.objects.select_related("pair__patient__referrer", "pair__working_to", "by").get(uuid=uuid)
    patient = review.pair.patient
    if not patient.letters_consent:
        raise Refused(NO_CONSENT)
    if patient.referrer is None:
        raise Refused(NO_REFERRER)
    return print_once(draft_of(review), by=by, at=at)


def draft_of(review: Review) -> Draft:
    """What the letter about a review says. What was found is as it stood on the day of the review."""
    pair = review.pair
    patient = pair.patient
    prescription = whole(pair.working_to.uuid) if pair.working_to else None
    found = _stood_on(patient, timezone.localdate(review.at))
    accepted = Difference.objects.filter(pair=pair, state=DifferenceState.ACCEPTED)
    return Draft(
        patient=patient,
        kind=PaperKind.REVIEW_LETTER,
        title=f"Review letter, pair {pair.number}, {timezone.localdate(review.at):%-d %b %Y}",
        template="papers/review_letter.html",
        about_uuid=review.uuid,
        pair_uuid=pair.uuid,
        most_pages=MOST_PAGES,
        context={
            "review": review,
            "pair": pair,
            "patient": patient,
            "referrer": patient.referrer,
            "workshop_name": settings.WORKSHOP_NAME,
            "workshop_address": [line.strip() for line in settings.WORKSHOP_ADDRESS.split(";") if line.strip()],
            "prescription": prescription,
            "groups": side_by_side(describe(prescription), leave_out=TELLS_THE_SAME) if prescription else (),
            "found": [FootFound(side, _in_words(each for each in found if each.side == side)) for side in SIDES],
            "screening": _screening(patient, found),
            "found_generally": _in_words(each for each in found if each.side is None),
            "differences": [(each.side, part_words(each.part), each.found) for each in accepted],
            "skin": _skin(review),
        },
    )


def _screening(patient: Patient, found: Iterable[Finding]) -> Screening | None:
    """The diabetic screening risk by what was found, or None where no diabetes is recorded."""
    if patient.diabetes != YesNoUnknown.YES:
        return None
    live = [LiveFinding(finding.condition, finding.side) for finding in found]
    return screening_risk(diabetes=patient.diabetes, findings=live)


def _stood_on(patient: Patient, day: date) -> list[Finding]:
    still = Q(ended_on__isnull=True) | Q(ended_on__gt=day)
    found = patient.findings.filter(still, found_on__lte=day)
    place_in_list = {key: place for place, key in enumerate(CONDITIONS)}
    return sorted(found, key=lambda each: (place_in_list.get(each.condition, len(place_in_list)), each.place, each.pk))


def _in_words(findings: Iterable[Finding]) -> tuple[FindingInWords, ...]:
    return tuple(_one_in_words(finding) for finding in findings)


def _one_in_words(finding: Finding) -> FindingInWords:
    known = CONDITIONS.get(finding.condition)
    more = [
        finding.place,
        finding.get_marked_display() if finding.marked else "",
        finding.flexibility,
        f"since {finding.since}" if finding.since else "",
        finding.note,
    ]
    return FindingInWords(
        clinical=finding.label,
        plain=known.plain if known and not _says_the_same(known.plain, known.label) else "",
        more=", ".join(part for part in more if part),
    )


def _says_the_same(plain: str, clinical: str) -> bool:
    return plain.casefold().removeprefix("a ").removeprefix("an ") == clinical.casefold()


def _skin(review: Review) -> list[FootSkin]:
    by_side = {foot.side: foot for foot in review.feet.all()}
    return [
        FootSkin(side, skin=by_side[side].skin, shoe=by_side[side].shoe) if side in by_side else FootSkin(side, "", "")
        for side in SIDES
    ]
