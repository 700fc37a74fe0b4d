"""Pairs for papers: plausible, and as full as a prescription can be."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from cases.bench.models import Pair
from cases.lasts.models import Last, Measure, MeasureSet
from cases.patients.models import Patient
from tests.factories.base import next_number, setting_up
from tests.factories.bench import make_pair
from tests.factories.patients import make_allergy, make_patient
from workshop.staff.models import Person

LEFT_FULL: dict[str, Any] = {
    "upper": {
        "style": "two-strap boot",
        "height": "ankle boot",
        "opening": "wide, to the toes",
        "fastening": "returning strap",
        "fastening_count": 2,
        "fastening_width_mm": 22,
        "fastening_tab": "big tab, 30 mm",
        "fastening_hand": "left hand only, pulled to the left",
        "leather": "soft bovine, 1.4 mm",
        "vamp_lining": "goat",
        "quarter_lining": "calf",
        "tongue_lining": "sheep, soft",
        "seam_free_lining": True,
        "collar_padding_mm": 10,
        "collar_height_mm": 28,
        "topline_medial_mm": 118,
        "topline_lateral_mm": 112,
        "tongue": "firm, padded",
        "room_for_bulge": "1st joint, 18 mm",
    },
    "soft_zones": [
        {"place": "lateral ankle", "softness": "padded", "extent": "45 × 41 mm"},
    ],
    "stiffener": {
        "medial_reach": "long",
        "medial_reach_mm": 183,
        "lateral_reach": "short",
        "lateral_reach_mm": 81,
        "back_height_mm": 57,
        "thickness_mm": "2.8",
        "thinned_to_mm": "1.7",
        "front_height_mm": 24,
        "lateral_below_malleolus_mm": 11,
        "material": "vegetable-tanned belly",
        "adhesive": "paste",
        "remarks": "top edge rounded where the foot swells",
    },
    "reliefs": [
        {"place": "lateral malleolus", "width_mm": 34, "height_mm": 26, "above_seat_mm": 61, "way": "cut out"},
        {
            "place": "back of the heel",
            "width_mm": 29,
            "height_mm": 21,
            "above_seat_mm": 31,
            "way": "thinned",
            "thinned_to_mm": "0.8",
        },
    ],
    "toe_puff": {
        "kind": "wall",
        "length_mm": 53,
        "thickness_mm": "1.6",
        "wall_height_mm": 14,
        "toe_depth_mm": 10,
        "material": "vegetable-tanned belly",
        "shape": "template B",
        "adhesive": "paste",
    },
    "insole": {
        "leather": "vegetable-tanned shoulder",
        "thickness_mm": "5.2",
        "blocked": True,
        "finished_heel_mm": "4.5",
        "finished_waist_mm": "3.5",
        "finished_forepart_mm": "3.0",
        "turn_up_medial_mm": 18,
        "turn_up_lateral_mm": 7,
        "turn_up_heel_mm": 6,
        "scoured_to_mm": "0.5",
        "scoured_behind_joint_mm": 12,
        "scoured_before_toe_mm": 15,
        "scoured_rim_mm": 11,
        "rear_doubled_mm": "3.2",
        "posting_rear_medial_deg": 4,
        "posting_fore_medial_deg": 2,
        "hollowed_beneath": "under the cuboid, 30 × 20 mm",
        "inlay_heel_mm": 5,
        "inlay_forepart_mm": "4.5",
        "sock": "0.9 mm leather, full",
    },
    "cushions": [
        {"place": "forepart", "material": "closed-cell foam", "thickness_mm": 4, "extent": "scoured zone"},
        {"place": "heel", "material": "open-cell polyurethane", "thickness_mm": "4.2", "extent": "60 mm across"},
    ],
    "metatarsal_supports": [
        {"kind": "bar", "behind_joint_line_mm": 8, "height_mm": "6.5", "long_mm": 15, "across_mm": 70},
        {
            "kind": "dome",
            "behind_joint_line_mm": 5,
            "height_mm": 6,
            "long_mm": 55,
            "across_mm": 40,
            "remarks": "by trial",
        },
    ],
    "toe_prop": {"toes": "2-4", "material": "silicone", "height_mm": "6.2"},
    "shank": {
        "count": 2,
        "material": "steel",
        "width_mm": 10,
        "thickness_mm": "1.2",
        "front_end_behind_joint_mm": 13,
        "rear_end_in_seat_mm": 25,
        "apart_mm": 12,
    },
    "carbon_zone": {
        "plies": 5,
        "cloth_g_m2": 200,
        "ends_before_toe_mm": 12,
        "overlap_on_shank_mm": 30,
        "direction": "0/90 along the shoe",
    },
    "sole": {
        "material": "microcellular rubber",
        "thickness_mm": 9,
        "tread": "fine",
        "leading_edge": "rounded, smooth",
        "toe_spring_extra_mm": 4,
    },
    "heel": {"height_mm": 19, "material": "microcellular rubber", "extended_medial_mm": 15, "cushion_heel": True},
    "rocker": {"apex_percent": 55, "angle_deg": 16, "apex_angle_deg": 95},
    "height_raise": {
        "in_shoe_heel_mm": 8,
        "on_sole_heel_mm": 23,
        "on_sole_ball_mm": 17,
        "on_sole_toe_mm": 9,
        "material": "light EVA",
    },
    "wedges": [
        {"place": "heel", "edge": "medial", "height_mm": "4.4"},
        {"place": "forefoot", "edge": "lateral", "height_mm": 3},
    ],
    "flares": [{"edge": "medial", "width_mm": "5.5"}],
}
RIGHT_ORDINARY: dict[str, Any] = {
    "stiffener": {
        "medial_reach": "medium",
        "medial_reach_mm": 132,
        "lateral_reach": "medium",
        "lateral_reach_mm": 114,
        "back_height_mm": 51,
    },
    "toe_puff": {"kind": "standard", "length_mm": 56, "toe_depth_mm": "6.5"},
    "shank": {"count": 1, "material": "steel", "width_mm": 15, "thickness_mm": "1.3", "front_end_behind_joint_mm": 14},
    "rocker": {"apex_percent": 58, "angle_deg": 12},
}

MEASURES = {
    "foot_length": (247, 246),
    "heel_to_joint": (181, 180),
    "joint_girth": (238, 229),
    "waist_girth": (233, 226),
    "instep_girth": (247, 238),
    "short_heel_girth": (318, 309),
    "long_heel_girth": (344, 333),
    "ankle_girth": (257, 233),
    "joint_width": (97, 95),
    "heel_width": (64, 63),
    "toe_depth": (24, 23),
    "medial_malleolus_height": (78, 79),
    "lateral_malleolus_height": (64, 68),
    "calf_girth": (352, 348),
}


def open_for(patient: Patient, *, by: Person, at: datetime, **prescribed: Any) -> Pair:
    """A pair on the bench, from a prescription with these parts, signed by `by`."""
    return make_pair(by=by, at=at, patient=patient, written_by=by, **prescribed)


def make_last(patient: Patient, *, side: str, number: str, place: str) -> Last:
    with setting_up():
        return Last.objects.create(
            owner=patient,
            number=number,
            side=side,
            origin="made",
            making="cast",
            length_mm=259,
            heel_height_mm=19,
            place=place,
            made_on=date(2026, 9, 1),
        )


def make_measures(patient: Patient, *, by: Person, at: datetime) -> MeasureSet:
    with setting_up():
        sitting = MeasureSet.objects.create(
            patient=patient, taken_at=at, taken_by=by, method="tape", load="sitting", heel_height_mm=20
        )
        for name, (left, right) in MEASURES.items():
            Measure.objects.create(measure_set=sitting, side="left", name=name, value_mm=Decimal(left))
            Measure.objects.create(measure_set=sitting, side="right", name=name, value_mm=Decimal(right))
    return sitting


def full_pair(*, by: Person, at: datetime, **of_patient: Any) -> Pair:
    """Every part on the LEFT, an ordinary boot on the RIGHT, with lasts, measures and an allergy."""
    patient = make_patient(**of_patient)
    make_allergy(patient, substance="chrome-tanned leather")
    number = f"L{next_number()}"
    return open_for(
        patient,
        by=by,
        at=at,
        left=LEFT_FULL,
        right=RIGHT_ORDINARY,
        left_last=make_last(patient, side="left", number=number, place="rack B, shelf 3"),
        right_last=make_last(patient, side="right", number=number, place="rack B, shelf 4"),
        measure_set=make_measures(patient, by=by, at=at),
        purpose="everyday, indoors and out",
    )
