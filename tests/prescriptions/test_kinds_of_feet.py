"""Twelve invented prescriptions, an adaptation and a repair: each can be said in full, and signed."""

from dataclasses import dataclass, field
from typing import Any

import pytest

from cases.prescriptions import completeness
from cases.prescriptions.described import describe
from tests.factories.lasts import make_last
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription

pytestmark = pytest.mark.django_db


def reach(medial: str, lateral: str, **values: Any) -> dict[str, Any]:
    """A stiffener by its two reaches, of arcs of 200 and 180 mm; short on both sides goes by the lateral arc."""
    parts = {"short": 45, "medium": 65, "long": 90}
    return {
        "medial_reach": medial,
        "medial_reach_mm": 81 if medial == lateral == "short" else 2 * parts[medial],
        "lateral_reach": lateral,
        "lateral_reach_mm": round(1.8 * parts[lateral]),
        **values,
    }


def carbon(plies: int) -> dict[str, Any]:
    return {"plies": plies, "ends_before_toe_mm": 12, "overlap_on_shank_mm": 30, "direction": "0/90 along the shoe"}


def rocker(apex_percent: int, angle_deg: int) -> dict[str, Any]:
    return {"apex_percent": apex_percent, "angle_deg": angle_deg}


STRAPS = {"fastening": "returning strap", "fastening_count": 2}
TWO_SHANKS = {
    "count": 2,
    "material": "steel",
    "width_mm": 10,
    "thickness_mm": "1.2",
    "front_end_behind_joint_mm": 12,
    "apart_mm": 12,
}


@dataclass
class Case:
    """`reads` are (side, part, label, value) that a maker must read."""

    about: str
    reads: list[tuple[str, str, str, str]]
    both: dict[str, Any] = field(default_factory=dict)
    left: dict[str, Any] = field(default_factory=dict)
    right: dict[str, Any] = field(default_factory=dict)
    pair: dict[str, Any] = field(default_factory=dict)


CASES = [
    Case(
        "collapsed arch with lateral ankle swelling LEFT",
        both={"upper": {"height": "ankle boot", "collar_padding_mm": 10, **STRAPS}},
        left={
            "stiffener": reach("long", "short", lateral_below_malleolus_mm=10),
            "insole": {"blocked": True, "turn_up_medial_mm": 18, "posting_rear_medial_deg": 4},
            "heel": {"height_mm": 20, "extended_medial_mm": 15},
            "flares": [{"edge": "medial", "width_mm": 4}],
        },
        right={"stiffener": reach("medium", "medium"), "insole": {"blocked": True, "turn_up_medial_mm": 8}},
        reads=[
            ("left", "stiffener", "medial reach", "long, 180 mm"),
            ("left", "stiffener", "lateral reach", "short, 81 mm"),
            ("left", "stiffener", "lateral top edge", "10 mm below the malleolus"),
            ("left", "posting", "rear, medial", "4°"),
            ("left", "heel", "extended forward, medial", "15 mm"),
            ("left", "flare_medial", "width", "4 mm"),
            ("right", "insole", "turned up, medial", "8 mm"),
            ("right", "fastening", "kind", "strap returning through a ring"),
        ],
    ),
    Case(
        "hypermobility",
        both={
            "upper": {"height": "ankle boot", "tongue": "firm"},
            "stiffener": reach("long", "long", thinned_to_mm=2),
            "toe_puff": {"kind": "light"},
            "insole": {"blocked": True, "thickness_mm": "4.5"},
            "sole": {"material": "firm rubber", "thickness_mm": 6},
        },
        pair={"shoe_weight_limit_g": 650},
        reads=[
            ("right", "stiffener", "thinned to", "2 mm"),
            ("left", "tongue", "tongue", "firm"),
            ("left", "toe_puff", "kind", "light"),
        ],
    ),
    Case(
        "painful stiff big toe RIGHT",
        both={"rocker": rocker(55, 15)},
        right={
            "carbon_zone": carbon(5),
            "insole": {"rear_doubled_mm": 3},
            "toe_puff": {"kind": "light", "toe_depth_mm": 8},
        },
        reads=[
            ("left", "rocker", "apex", "55 % of the sole from the heel"),
            ("right", "carbon", "plies", "5"),
            ("right", "carbon", "ends", "12 mm before the toe"),
            ("right", "insole", "back doubled", "3 mm"),
            ("right", "toe_puff", "depth over the highest toe", "8 mm"),
        ],
    ),
    Case(
        "metatarsalgia, fat-pad loss",
        both={
            "stiffener": reach("short", "short"),
            "insole": {
                "scoured_to_mm": "0.5",
                "scoured_behind_joint_mm": 12,
                "scoured_before_toe_mm": 15,
                "scoured_rim_mm": 11,
            },
            "cushions": [{"place": "forepart", "material": "open-cell polyurethane", "thickness_mm": 4}],
            "shank": TWO_SHANKS,
            "rocker": rocker(60, 12),
        },
        left={"metatarsal_supports": [{"kind": "bar", "behind_joint_line_mm": 8, "height_mm": 6, "long_mm": 15}]},
        right={
            "metatarsal_supports": [{"kind": "dome", "behind_joint_line_mm": 5, "height_mm": 6, "remarks": "by trial"}]
        },
        reads=[
            ("left", "stiffener", "medial reach", "short, 81 mm"),
            ("left", "scoured_zone", "thickness left", "0.5 mm"),
            ("left", "cushion_forepart", "thickness", "4 mm"),
            ("left", "metatarsal_bar", "crest", "8 mm behind the joint line"),
            ("right", "metatarsal_dome", "remarks", "by trial"),
            ("right", "shank", "number", "2, side by side"),
        ],
    ),
    Case(
        "bump at the back of the heel RIGHT",
        both={"upper": {"collar_padding_mm": 6}, "height_raise": {"in_shoe_heel_mm": 6}},
        right={
            "reliefs": [
                {
                    "place": "back of the heel",
                    "width_mm": 34,
                    "height_mm": 26,
                    "above_seat_mm": 30,
                    "way": "thinned",
                    "thinned_to_mm": "0.8",
                }
            ]
        },
        reads=[
            (
                "right",
                "stiffener",
                "relief, back of the heel",
                "34 × 26 mm, centre 30 + 6 mm above the insole, thinned to 0.8 mm",
            ),
            ("left", "raise_in_shoe", "heel", "6 mm"),
        ],
    ),
    Case(
        "rigid hammer toes",
        both={
            "upper": {"seam_free_lining": True},
            "soft_zones": [{"place": "toes", "softness": "stretch"}],
            "toe_prop": {"toes": "2-4", "material": "soft silicone", "height_mm": 6},
            "toe_puff": {"kind": "wall", "wall_height_mm": 14, "toe_depth_mm": 10},
            "insole": {"thickness_mm": "3.5"},
            "cushions": [{"place": "full", "material": "foam", "thickness_mm": 3}],
        },
        reads=[
            ("left", "toe_puff", "kind", "wall, soft roof"),
            ("left", "toe_puff", "soft begins", "14 mm above the feather"),
            ("left", "lining", "seams", "no seam over the foot"),
            ("left", "soft_zones", "over the toes", "stretch leather"),
            ("left", "toe_prop", "under", "toes 2 to 4, 6 mm"),
            ("left", "toe_prop", "material", "soft silicone"),
        ],
    ),
    Case(
        "diabetes, loss of sensation",
        both={
            "insole": {"inlay_heel_mm": 8, "inlay_forepart_mm": 8},
            "carbon_zone": carbon(3),
            "rocker": rocker(55, 15),
            "stiffener": reach("long", "medium"),
        },
        reads=[
            ("left", "inlay_room", "heel", "8 mm"),
            ("left", "inlay_room", "forepart", "8 mm"),
            ("right", "carbon", "plies", "3"),
        ],
    ),
    Case(
        "consolidated rocker-bottom foot RIGHT",
        both={"upper": {"height": "high boot"}},
        left={"stiffener": reach("long", "long"), "height_raise": {"on_sole_heel_mm": 6, "on_sole_ball_mm": 6}},
        right={
            "stiffener": reach("long", "long", ankle_high="both", above_malleolus_mm=30),
            "toe_puff": {"kind": "none"},
            "insole": {"blocked": True, "hollowed_beneath": "under the cuboid"},
            "carbon_zone": carbon(6),
            "flares": [{"edge": "medial", "width_mm": 5}, {"edge": "lateral", "width_mm": 5}],
        },
        reads=[
            ("right", "stiffener", "ankle-high", "medial and lateral side, to 30 mm above the malleolus"),
            ("right", "toe_puff", "kind", "none"),
            ("right", "insole", "hollow beneath", "under the cuboid"),
            ("right", "flare_lateral", "width", "5 mm"),
            ("left", "raise_on_sole", "ball", "6 mm"),
        ],
    ),
    Case(
        "leg shorter by 30 mm LEFT",
        left={
            "height_raise": {
                "in_shoe_heel_mm": 8,
                "on_sole_heel_mm": 22,
                "on_sole_ball_mm": 18,
                "on_sole_toe_mm": 8,
                "material": "light EVA",
            },
            "rocker": rocker(55, 12),
        },
        reads=[
            ("left", "raise_in_shoe", "heel", "8 mm"),
            ("left", "raise_on_sole", "heel", "22 mm"),
            ("left", "raise_on_sole", "toe", "8 mm"),
            ("left", "raise_on_sole", "material", "light EVA"),
        ],
    ),
    Case(
        "foot drop RIGHT, orthosis worn",
        both={"upper": {"fastening": "returning strap", "fastening_hand": "LEFT hand alone, pulled leftward"}},
        right={
            "foot": {"orthosis_room": "ankle-foot orthosis, measured with it on"},
            "toe_puff": {"kind": "light"},
            "sole": {"leading_edge": "smooth, rounded toe", "toe_spring_extra_mm": 4},
        },
        pair={"shoe_weight_limit_g": 600},
        reads=[
            ("right", "orthosis", "room for", "ankle-foot orthosis, measured with it on"),
            ("right", "sole", "toe spring added", "4 mm"),
            ("left", "fastening", "hand and direction", "LEFT hand alone, pulled leftward"),
        ],
    ),
    Case(
        "amputation through the metatarsals LEFT, hallux valgus RIGHT",
        left={
            "foot": {"toe_filler": "soft, to the cut end", "forepart_asked": "rigid"},
            "carbon_zone": carbon(5),
            "rocker": rocker(50, 15),
        },
        right={"upper": {"room_for_bulge": "1st joint, medial, 18 mm"}},
        reads=[
            ("left", "toe_filler", "toe filler", "soft, to the cut end"),
            ("left", "forepart", "asked", "rigid"),
            ("right", "upper", "room for a bulge", "1st joint, medial, 18 mm"),
        ],
    ),
    Case(
        "rheumatoid hands and feet",
        both={
            "upper": {"fastening": "strap", "fastening_count": 1, "fastening_tab": "big", "seam_free_lining": True},
            "stiffener": reach("short", "short", material="soft belly"),
            "toe_puff": {"kind": "none"},
            "insole": {"thickness_mm": 3},
            "cushions": [{"place": "full", "material": "foam", "thickness_mm": 5}],
            "sole": {"material": "light rubber", "thickness_mm": 8, "tread": "non-slip"},
            "heel": {"height_mm": 10},
        },
        pair={"construction": "moccasin", "shoe_weight_limit_g": 350},
        reads=[
            ("left", "construction", "construction", "moccasin"),
            ("left", "fastening", "tab or pull", "big"),
            ("right", "cushion_full", "thickness", "5 mm"),
        ],
    ),
]
NOT_PRESCRIBED_HERE: dict[str, Any] = dict.fromkeys(("upper", "stiffener", "toe_puff", "insole", "sole", "heel"))
ON_ITS_OWN_SHOE = [
    Case(
        "adaptation",
        both=NOT_PRESCRIBED_HERE | {"height_raise": {"in_shoe_heel_mm": 6}},
        right={"reliefs": [{"place": "behind the bump", "width_mm": 34, "height_mm": 26, "way": "cut out"}]},
        pair={"work": "adaptation", "own_shoe": "brown walking shoe"},
        reads=[
            ("right", "stiffener", "relief, behind the bump", "34 × 26 mm, cut out"),
            ("left", "raise_in_shoe", "heel", "6 mm"),
        ],
    ),
    Case(
        "repair",
        both=NOT_PRESCRIBED_HERE | {"sole": {"material": "microcellular rubber", "thickness_mm": 6}},
        left={
            "height_raise": {"on_sole_heel_mm": 20, "on_sole_ball_mm": 12, "on_sole_toe_mm": 6},
            "foot": {"remarks": "measure the raise before it comes off; restore the same heights"},
        },
        pair={"work": "repair", "own_shoe": "pair of 2023"},
        reads=[
            ("left", "raise_on_sole", "heel", "20 mm"),
            ("left", "remarks", "remarks", "measure the raise before it comes off; restore the same heights"),
        ],
    ),
]


@pytest.mark.parametrize("case", CASES + ON_ITS_OWN_SHOE, ids=lambda case: case.about)
def test_each_can_be_said_in_full(case: Case) -> None:
    patient = make_patient()
    prescription = make_prescription(
        patient=patient,
        left_last=make_last(owner=patient, side="left"),
        right_last=make_last(owner=patient, side="right"),
        both=case.both,
        left=case.left,
        right=case.right,
        **case.pair,
    )
    feet = {foot.side: foot for foot in describe(prescription)}
    read = []
    for side, key, label, _ in case.reads:
        part = feet[side].part(key)
        read.append((side, key, label, dict(part.lines).get(label) if part else None))
    assert (read, completeness.missing(prescription)) == (case.reads, ())


def test_work_on_the_client_s_own_shoe_says_which_and_what(db: None) -> None:
    empty = make_prescription(both=NOT_PRESCRIBED_HERE, work="adaptation")
    assert completeness.missing(empty) == (
        "Which of the client's own shoes the work is on.",
        "At least one thing that is to be done.",
    )
