"""What an invented pair weighs when it is finished, how it goes home, and what its review says."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from cases.bench import actions as bench
from cases.bench.models import Pair
from cases.diary import actions as diary
from cases.fittings import actions as fittings
from cases.fittings.entries import FootReview
from cases.overview.review_letter import print_review_letter
from cases.prescriptions import queries
from cases.prescriptions.panel import day_of, implied_by
from demo.clinic import Clinic
from demo.pairs import PlannedPair
from shared.sides import SIDES
from workshop.figures.actions import set_figure


@dataclass(frozen=True)
class Reviewed:
    """What an invented review says. Skin and shoe are those of LEFT and RIGHT; pain is None where nothing is felt."""

    worn: str
    hours_a_day: int
    walking_before: str
    walking_now: str
    plan: str
    skin: tuple[str, str]
    shoe: tuple[str, str] = ("creases even, heel grips", "creases even, heel grips")
    pain_before: int | None = None
    pain_now: int | None = None
    why_not_more: str = ""


REVIEWS = {
    "healed-ulcer": Reviewed(
        worn="part of the day",
        hours_a_day=5,
        why_not_more="still wearing them in",
        walking_before="to the gate, in slippers",
        walking_now="to the shop and back, about 20 minutes",
        skin=("scar under the 1st joint closed and dry, no callus, no mark after 15 minutes", "clear, no mark"),
        shoe=("inlay pressed evenly, lining smooth", "inlay pressed evenly, lining smooth"),
        plan=(
            "One hour more each day while the skin stays clear, then all day. Feet and shoes are looked at every "
            "evening, the soles by a helper."
        ),
    ),
    "rheumatoid": Reviewed(
        worn="all day",
        hours_a_day=10,
        walking_before="from chair to kitchen, holding on",
        walking_now="about the house without holding on",
        pain_before=7,
        pain_now=3,
        skin=("clear; toes free of the roof", "clear; toes free of the roof"),
        plan="Worn indoors as they are. The husband closes the strap with one hand.",
    ),
    "haglund": Reviewed(
        worn="all day",
        hours_a_day=9,
        walking_before="ten minutes, then shoes off",
        walking_now="a full day at the office",
        pain_before=6,
        pain_now=1,
        skin=("clear", "pink over the bump in the evening, gone in 10 minutes"),
        plan="Worn as they are; back at once if the pink stays or the skin breaks.",
    ),
    "hammer-toes": Reviewed(
        worn="all day",
        hours_a_day=8,
        walking_before="to the bus stop",
        walking_now="to town and back, with one rest",
        pain_before=5,
        pain_now=2,
        skin=("corns on toes 2 to 4 smaller, no redness", "corns on toes 2 to 4 smaller, no redness"),
        plan="Worn as they are; the corns stay with the podiatrist.",
    ),
}

ON_THE_SCALE = {
    "healed-ulcer": 1.05,
    "foot-drop": 1.08,
    "rheumatoid": 0.98,
    "haglund": 1.06,
    "hammer-toes": 1.03,
    "hypermobile": 1.10,
}
"""What each finished pair weighs, as a part of what was estimated of it: invented."""
SCALE_READS_TO_G = 10
PAIRS_TO_LEARN = 5
WEAR_IN = {"healed-ulcer": "loss-of-sensation", "charcot": "loss-of-sensation"}


def trust_the_scale(clinic: Clinic) -> None:
    """This small workshop lets a few pairs correct its estimates of weight."""
    at = clinic.now - timedelta(days=390)
    set_figure(
        "weight_pairs_to_learn",
        value=Decimal(PAIRS_TO_LEARN),
        valid_from=timezone.localdate(at),
        source="a small bench finishes few pairs a year (invented)",
        by=clinic.staff["odile"],
        at=at,
    )


def weigh(clinic: Clinic, planned: PlannedPair, pair: Pair, *, at: datetime) -> None:
    """Put a finished pair on the scale. A repair has no estimate to be weighed against."""
    if planned.repair or pair.working_to is None:
        return
    version = queries.whole(pair.working_to.uuid)
    feet = implied_by(version, day=day_of(timezone.localdate(at))).implied.feet
    weighed_g = {
        side: SCALE_READS_TO_G * round(foot.weight.by_parts_g * ON_THE_SCALE[planned.client] / SCALE_READS_TO_G)
        for side, foot in feet.items()
    }
    bench.weigh_pair(pair, weighed_g=weighed_g, by=clinic.staff["bram"], at=at)


def go_home(clinic: Clinic, planned: PlannedPair, pair: Pair) -> None:
    """Fitted, handed over, and reviewed where the plan says so."""
    if planned.repair:
        visit = diary.book_drop_in(
            patient=pair.patient,
            kind=clinic.kinds["drop-in"],
            day=clinic.day(planned.handed_over),
            note="collects the repaired pair",
            by=clinic.staff["nell"],
            at=clinic.at(clinic.day(planned.handed_over)),
        )
        ended_at = clinic.at(clinic.day(planned.handed_over))
    else:
        visit = clinic.book(pair.patient, "hand-over", clinic.day(planned.handed_over), about=pair.uuid)
        ended_at = visit.during.upper
    fittings.hand_over(
        visit,
        pair=pair,
        wear_in=WEAR_IN.get(planned.client, "ordinary"),
        collected_by=pair.patient.name,
        hands_can_close_it=True,
        both_shoes_lifted=True,
        cautions_explained=True,
        red_flags_asked=True,
        review_due_on=clinic.day(planned.handed_over + 18),
        by=clinic.staff["iris"],
        at=ended_at,
    )
    if planned.reviewed:
        _review(clinic, planned, pair)


def _review(clinic: Clinic, planned: PlannedPair, pair: Pair) -> None:
    visit = clinic.book(pair.patient, "review", clinic.day(planned.reviewed), about=pair.uuid)
    said = REVIEWS[planned.client]
    review = fittings.record_review(
        visit,
        pair=pair,
        worn=said.worn,
        hours_a_day=Decimal(said.hours_a_day),
        why_not_worn=said.why_not_more,
        walking_before=said.walking_before,
        walking_now=said.walking_now,
        pain_before=said.pain_before,
        pain_now=said.pain_now,
        feet=[
            FootReview(side=side, skin=skin, shoe=shoe)
            for side, skin, shoe in zip(SIDES, said.skin, said.shoe, strict=True)
        ],
        plan=said.plan,
        next_review_on=clinic.day(planned.next_review),
        by=clinic.staff["iris"],
        at=visit.during.upper,
    )
    if planned.letter:
        print_review_letter(review.uuid, by=clinic.staff["iris"], at=visit.during.upper)
