"""From the referral to the signed prescription, for each invented client."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.utils import timezone

from cases.bench.models import Pair
from cases.diary import actions as diary
from cases.diary.models import Visit, VisitKind
from cases.fittings import actions as fittings
from cases.lasts import actions as lasts
from cases.lasts.models import Answer, Last
from cases.lasts.queries import asked_of
from cases.patients import actions as patients
from cases.patients.models import Patient, Referrer
from cases.prescriptions import actions as prescriptions
from cases.prescriptions import given
from cases.prescriptions.models import Prescription
from cases.prescriptions.reaches import Arcs, ReachSettings, ReachWords, worked_out
from demo.calendar import Slots, at_time, working_day
from demo.clients import BOTH, Client
from demo.measures import bulges_of, legs_of, measures_of
from demo.parts import PUFF_LENGTH_OF_LAST, Prescribed
from shared.sides import Edge, Side
from workshop.staff.models import Person

TOE_ALLOWANCE_MM = 12
MADE_FROM_CAST = {"collapsed-arch", "charcot", "part-foot", "healed-ulcer", "rheumatoid"}
BOOKED_AHEAD = timedelta(days=6)
CLIENT_WAIT = timedelta(days=5)


@dataclass
class Clinic:
    """The people and the diary that the invented visits use."""

    now: datetime
    seed: int
    staff: Mapping[str, Person]
    referrer: Referrer
    kinds: Mapping[str, VisitKind]
    slots: Slots = field(default_factory=Slots)

    def day(self, days_from_today: int) -> date:
        """A working day about so many days from today."""
        day = timezone.localdate(self.now) + timedelta(days=days_from_today)
        return working_day(day, forward=days_from_today >= 0)

    def book(
        self, patient: Patient, kind: str, day: date, *, clinician: str = "iris", about: UUID | None = None
    ) -> Visit:
        """Book the clinician's next free time on a day."""
        person, chosen = self.staff[clinician], self.kinds[kind]
        starts_at = self.slots.take(person.pk, day, minutes=chosen.minutes)
        return diary.book_visit(
            patient=patient,
            kind=chosen,
            clinician=person,
            room=None,
            starts_at=starts_at,
            about_uuid=about,
            by=self.staff["nell"],
            at=min(self.now, starts_at - BOOKED_AHEAD),
        )

    opens = time(8, 15)

    def at(self, day: date) -> datetime:
        """Late morning of a day, or now where that is still to come."""
        return min(self.now, at_time(day, time(11, 0)))

    def rough_fitting(self, pair: Pair, *, after: datetime) -> datetime:
        """The client comes some days after the pair is lasted, and it fits; gives the moment it ended."""
        visit = self.book(
            pair.patient, "rough-fitting", working_day(timezone.localdate(after) + CLIENT_WAIT), about=pair.uuid
        )
        fittings.record_fitting(
            visit,
            pair=pair,
            kind="rough",
            outcome="accept",
            note="stands well, heel grips, toes free",
            by=self.staff["iris"],
            at=visit.during.upper,
        )
        ended_at: datetime = visit.during.upper
        return ended_at

    def hold(self, visit: Visit) -> datetime:
        """Let a booked visit happen; gives the moment it ended."""
        diary.arrive(visit, by=self.staff["nell"], at=visit.during.lower)
        diary.complete_visit(visit, by=self.staff["iris"], at=visit.during.upper)
        ended_at: datetime = visit.during.upper
        return ended_at


def refer(clinic: Clinic, client: Client, *, number: int, on: date) -> Patient:
    """Enter a referred client, as reception does."""
    at = clinic.now - timedelta(days=(timezone.localdate(clinic.now) - on).days)
    return patients.register_patient(
        record_number=str(1040 + number),
        given_names=client.given_names,
        family_name=client.family_name,
        born_on=date(*client.born),
        phone=client.phone,
        communication_needs=client.communication_needs,
        hand_function=client.hand_function,
        hand_note=client.hand_note,
        diabetes=client.diabetes,
        screened_elsewhere_by=client.screened_elsewhere_by,
        referrer=clinic.referrer,
        referred_on=on,
        referral_reason=client.reason,
        treatment_record_consent=True,
        letters_consent=client.letters_consent,
        photos_consent=True,
        by=clinic.staff["nell"],
        at=at,
    )


def examine(clinic: Clinic, client: Client, patient: Patient, *, at: datetime) -> None:
    """Record what was found, the allergies, and the signs that are no footwear question."""
    iris = clinic.staff["iris"]
    for found in client.findings:
        for side in found.sides:
            patients.record_finding(
                patient,
                side=None if side is None else Side(side),
                condition=found.condition,
                place=found.place,
                flexibility=found.flexibility,
                marked=found.marked,
                since=found.since,
                note=found.note,
                by=iris,
                at=at,
            )
    for kind, substance in client.allergies:
        patients.record_allergy(patient, kind=kind, substance=substance, by=iris, at=at)
    for sign, side in client.red_flags:
        patients.raise_red_flag(patient, sign=sign, side=None if side is None else Side(side), by=iris, at=at)


def measure_and_cast(
    clinic: Clinic, client: Client, patient: Patient, visit: Visit, *, heel_height_mm: Decimal
) -> None:
    """Take both feet's measures over the heel they will stand on, and casts where the last is to be made from one."""
    iris, at = clinic.staff["iris"], visit.during.lower
    measure_set = lasts.record_measures(
        patient,
        visit=visit,
        taken_at=at,
        method="tape",
        load="part",
        heel_height_mm=heel_height_mm,
        values=[
            lasts.MeasureValue(side=side, name=name, take=take, value_mm=value_mm)
            for side in BOTH
            for name, take, value_mm in measures_of(client, side, seed=clinic.seed)
        ],
        legs=legs_of(client),
        bulges=bulges_of(client),
        by=iris,
        at=at,
    )
    for asked in asked_of(measure_set, previous=None):
        lasts.answer_question(measure_set, asked.question, answer=Answer.STANDS, by=iris, at=at)
    if client.key in MADE_FROM_CAST:
        lasts.register_casts(
            patient,
            sides=BOTH,
            made_on=timezone.localdate(at),
            place=f"cast shelf {patient.record_number[-2:]}",
            condition="sound",
            load="part",
            heel_height_mm=heel_height_mm,
            visit=visit,
            by=iris,
            at=at,
        )


def put_lasts_on_the_rack(
    clinic: Clinic, client: Client, patient: Patient, prescribed: Prescribed, *, at: datetime
) -> list[Last]:
    """Make or alter the client's lasts, and agree them."""
    from_cast = client.key in MADE_FROM_CAST
    casts = {cast.side: cast for cast in patient.casts.all()}
    lengths = {"left": client.feet.left_length_mm, "right": client.feet.right_length_mm}
    longest = max(lengths.values())
    made = lasts.register_lasts(
        owner=patient,
        feet=[
            lasts.LastFoot(
                side=side,
                # A part foot gets a last of full length: the toe filler makes up the rest.
                length_mm=Decimal(lengths[side] if lengths[side] > longest - 40 else longest) + TOE_ALLOWANCE_MM,
                cast=casts.get(side),
                alteration_note="" if from_cast else "joint and instep built up to the measures; tape decides",
            )
            for side in BOTH
        ],
        origin="made" if from_cast else "altered",
        making="cast" if from_cast else "tape",
        heel_height_mm=heel_height_of(prescribed),
        toe_spring_mm=Decimal(14),
        toe_shape="round, full",
        place=f"rack B, hook {patient.record_number[-2:]}",
        made_on=timezone.localdate(at),
        made_by=clinic.staff["bram"],
        by=clinic.staff["bram"],
        at=at,
    )
    for last in made:
        lasts.agree_last(last, by=clinic.staff["iris"], at=at)
    return made


def heel_height_of(prescribed: Prescribed) -> Decimal:
    """The heel of the shoe to be made, mm; that of an ordinary shoe where the client's own is worked on."""
    return Decimal(prescribed.left["heel"]["height_mm"] if "heel" in prescribed.left else 20)


def prescribe(clinic: Clinic, patient: Patient, prescribed: Prescribed, *, at: datetime) -> Prescription:
    """Write and sign what the pair must be."""
    iris = clinic.staff["iris"]
    draft = prescriptions.start_prescription(
        patient,
        work=prescribed.work,
        feet=prescribed.feet,
        construction=prescribed.construction,
        purpose=prescribed.purpose,
        own_shoe=prescribed.own_shoe,
        by=iris,
        at=at,
    )
    arcs = given.arcs_of(draft.measure_set, lasts={Side(foot.side): foot.last for foot in draft.foot_set.all()})
    reaches = given.reach_settings(on=timezone.localdate(at))
    parts = {}
    for side, shoe in (("left", prescribed.left), ("right", prescribed.right)):
        asked = {**_without_what_is_not_asked(shoe), **prescribed.foot_part(side)}
        if "stiffener" in shoe:
            asked["stiffener"] = _with_reaches_in_mm(shoe["stiffener"], arcs[Side(side)], reaches)
        if "toe_puff" in shoe and (last := draft.foot_set.get(side=side).last) is not None:
            asked["toe_puff"] = _with_its_length(shoe["toe_puff"], last_length_mm=last.length_mm)
        parts[side] = asked
    draft = prescriptions.save_draft(
        draft,
        seen_version=draft.version,
        fields={"shoe_weight_limit_g": prescribed.weight_limit_g, "remarks": prescribed.remarks},
        parts=parts,
        by=iris,
        at=at,
    )
    return prescriptions.sign_prescription(draft, seen_version=draft.version, by=iris, at=at)


OPTIONAL_PARTS = ("shank", "carbon_zone", "rocker", "height_raise")


def _without_what_is_not_asked(shoe: dict[str, Any]) -> dict[str, Any]:
    """A new prescription starts with the workshop's ordinary parts: what this one does not ask for goes."""
    return dict.fromkeys(OPTIONAL_PARTS) | shoe


def _with_reaches_in_mm(stiffener: dict[str, Any], arcs: Arcs, settings: ReachSettings) -> dict[str, Any]:
    """The reaches in mm, worked out from the client's measures as the prescription page does."""
    words = ReachWords(medial=stiffener["medial_reach"], lateral=stiffener["lateral_reach"])
    in_mm = {edge: worked_out(words, edge=edge, arcs=arcs, settings=settings) for edge in Edge}
    return {**stiffener, **{f"{edge}_reach_mm": reach for edge, reach in in_mm.items() if reach is not None}}


def _with_its_length(puff: dict[str, Any], *, last_length_mm: Decimal) -> dict[str, Any]:
    """The puff with its length from the toe, a share of the last's length, where none is said."""
    share = PUFF_LENGTH_OF_LAST.get(puff["kind"])
    return puff if share is None else {"length_mm": round(last_length_mm * Decimal(str(share))), **puff}
