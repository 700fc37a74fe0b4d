"""The twelve traps of the trade, as a prescription would fall into them: which notes ask, and when they keep silent."""

from dataclasses import dataclass, replace
from typing import Any

import pytest

from cases.prescriptions.notes import Found, Question, Wearer, notes_on
from cases.prescriptions.shoe import Shoe
from shared.sides import Side
from tests.prescriptions.shoes import FORM, a_flare, a_shoe

LEFT, RIGHT = Side.LEFT, Side.RIGHT


@dataclass(frozen=True)
class Trap:
    """Who wears it, the shoe that traps, the notes that must ask, and what of them is left where it is mended."""

    wearer: Wearer
    shoe: Shoe
    asks: set[str]
    mended: tuple[tuple[Wearer, Shoe, set[str]], ...]


def person(*findings: Found, **known: Any) -> Wearer:
    return Wearer(findings=findings, **known)


def right(shoe: Shoe) -> Shoe:
    return replace(shoe, side=RIGHT)


STIFF_RIGHT = person(Found("hallux_rigidus", RIGHT))
SWOLLEN_LEFT = person(Found("lateral_ankle_swelling", LEFT))
HAMMER = person(Found("hammer_toe", LEFT, "toes 2 to 4", "fixed"))
INSENSATE = person(
    Found("loss_of_protective_sensation", LEFT),
    Found("healed_ulcer", LEFT),
    diabetes="yes",
    screening_level=3,
    screening_months_max=3,
    review_months=12,
    wear_in="ordinary",
)
FALLS = person(Found("falls"))
VARUS = person(Found("heel_varus", RIGHT))
APPARENT = person(Found("leg_length_apparent", LEFT, note="40 mm"))
MEASURED = person(Found("leg_length_true", LEFT, note="40 mm, standing on blocks"))
RAISED = {"on_sole_heel_mm": 25, "on_sole_ball_mm": 15, "on_sole_toe_mm": 8}
PITCH_15 = replace(FORM, heel_height_mm=15)
NOBODY = person()

TRAPS = {
    "rigid carbon R, flat sole, stiff toe": Trap(
        STIFF_RIGHT,
        right(a_shoe(carbon_zone={})),
        {"rigid-and-flat"},
        ((STIFF_RIGHT, right(a_shoe(carbon_zone={}, rocker={})), set()),),
    ),
    "long lateral stiffener L over a lateral swelling L": Trap(
        SWOLLEN_LEFT,
        a_shoe(stiffener={"lateral_reach": "long"}),
        {"stiffener-under-swelling"},
        (
            (SWOLLEN_LEFT, a_shoe(stiffener={"lateral_reach": "short"}), set()),
            (person(Found("lateral_ankle_swelling", RIGHT)), a_shoe(stiffener={"lateral_reach": "long"}), set()),
        ),
    ),
    "rigid hammer toes, standard puff, depth +4": Trap(
        HAMMER,
        a_shoe(toe_puff={"toe_depth_mm": 4}),
        {"hard-puff-over-bent-toes", "too-little-toe-depth"},
        (
            (HAMMER, a_shoe(toe_puff={"kind": "wall", "toe_depth_mm": 8}), set()),
            (HAMMER, a_shoe(toe_puff={"kind": "none", "toe_depth_mm": 8}), set()),
        ),
    ),
    "weak hands, six eyelets, nobody helps": Trap(
        person(hands="strap"),
        a_shoe(upper={"fastening_count": 6}),
        {"hands-and-laces"},
        ((person(Found("who_dresses", note="carer"), hands="strap"), a_shoe(upper={"fastening_count": 6}), set()),),
    ),
    "in-shoe raise 18 in a low shoe, back 50": Trap(
        NOBODY,
        a_shoe(height_raise={"in_shoe_heel_mm": 18}, stiffener={"back_height_mm": 50}),
        {"heel-out-of-stiffener"},
        (
            (NOBODY, a_shoe(height_raise={"in_shoe_heel_mm": 10}, stiffener={"back_height_mm": 50}), set()),
            (
                NOBODY,
                a_shoe(
                    height_raise={"in_shoe_heel_mm": 18},
                    stiffener={"back_height_mm": 70},
                    upper={"height": "ankle boot"},
                ),
                set(),
            ),
        ),
    ),
    "no sensation, healed ulcer, seams, short wear-in, review after a year": Trap(
        INSENSATE,
        a_shoe(heel={"height_mm": 18}),
        {"seam-over-no-sensation", "wear-in-too-fast", "review-within-interval"},
        (
            (
                replace(INSENSATE, diabetes="no", wear_in="loss-of-sensation"),
                a_shoe(heel={"height_mm": 18}),
                {"seam-over-no-sensation"},
            ),
        ),
    ),
    "falls, rocker 20° at 50 %, soft heel": Trap(
        FALLS,
        a_shoe(rocker={"angle_deg": 20, "apex_percent": 50}, heel={"cushion_heel": True}, carbon_zone={}),
        {"rocker-and-falls", "rocker-too-thick"},
        ((FALLS, a_shoe(rocker={"angle_deg": 15, "apex_percent": 55}, carbon_zone={}), set()),),
    ),
    "moccasin with a steel cap for work": Trap(
        NOBODY,
        a_shoe(construction="moccasin", toe_puff={"kind": "steel"}),
        {"moccasin-with-puff", "steel-cap"},
        ((NOBODY, a_shoe(construction="moccasin", toe_puff={"kind": "none"}), set()),),
    ),
    "last made at 15, heel 30": Trap(
        NOBODY,
        a_shoe(form=PITCH_15, heel={"height_mm": 30}),
        {"heel-against-pitch"},
        ((NOBODY, a_shoe(form=PITCH_15, heel={"height_mm": 20}), set()),),
    ),
    "raise L 25 on the sole for an apparent difference": Trap(
        APPARENT,
        a_shoe(height_raise=RAISED),
        {"apparent-without-method"},
        ((MEASURED, a_shoe(height_raise=RAISED), set()),),
    ),
    "medial flare R, varus R": Trap(
        VARUS,
        right(a_shoe(flares=(a_flare("medial"),))),
        {"flare-opposite-lean"},
        ((VARUS, right(a_shoe(flares=(a_flare("lateral"),))), set()),),
    ),
    "shank 10 ahead of the joint of a forepart that bends": Trap(
        NOBODY,
        a_shoe(shank={"front_end_behind_joint_mm": -10}),
        {"shank-across-bend"},
        (
            (NOBODY, a_shoe(shank={"front_end_behind_joint_mm": 8}), set()),
            (NOBODY, a_shoe(shank={"front_end_behind_joint_mm": 18}), set()),
        ),
    ),
}


def asked(wearer: Wearer, shoe: Shoe) -> set[str]:
    return {note.rule for note in notes_on(Question(shoe, wearer))}


@pytest.mark.parametrize("trap", TRAPS.values(), ids=list(TRAPS))
def test_a_trap_is_asked_about_and_nothing_else_is(trap: Trap) -> None:
    assert asked(trap.wearer, trap.shoe) == trap.asks


@pytest.mark.parametrize("trap", TRAPS.values(), ids=list(TRAPS))
def test_a_trap_that_is_mended_is_silent(trap: Trap) -> None:
    assert [asked(wearer, shoe) for wearer, shoe, _ in trap.mended] == [left for _, _, left in trap.mended]


def test_each_trap_says_what_it_is_in_the_words_of_the_bench() -> None:
    said = [
        note.sentence
        for trap in TRAPS.values()
        for note in notes_on(Question(trap.shoe, trap.wearer))
        if note.rule in {"rigid-and-flat", "heel-out-of-stiffener", "heel-against-pitch"}
    ]
    assert said == [
        "Rigid forefoot and a flat sole: the foot cannot roll. Rocker intended?",
        (
            "The heel stands 18 mm up; 32 mm of stiffener left behind it (advised 40). "
            "Boot, higher back, or raise on the sole?"
        ),
        "The last does not sit: heel 15 mm higher. New pitch or new last?",
    ]
