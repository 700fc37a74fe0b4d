"""Questions about one shoe and its wearer, and what a rule says to them."""

from dataclasses import replace
from typing import Any

from cases.prescriptions.notes import RULES, Found, Question, Wearer, Weighed
from cases.prescriptions.shoe import Shoe
from shared.sides import Side
from tests.prescriptions.shoes import FORM, ORDINARY

LEFT, RIGHT = Side.LEFT, Side.RIGHT

DIABETIC = Wearer(diabetes="yes", screening_level=3, screening_months_max=3, review_months=3)


def wearing(*conditions: str | Found, **known: Any) -> Wearer:
    """A person with these findings on the left foot."""
    findings = tuple(each if isinstance(each, Found) else Found(each, LEFT) for each in conditions)
    return Wearer(findings=findings, **known)


NOBODY_IN_PARTICULAR = Wearer()


def asked(shoe: Shoe = ORDINARY, wearer: Wearer = NOBODY_IN_PARTICULAR, **more: Any) -> Question:
    return Question(shoe, wearer, **more)


FLAT_280 = replace(FORM, length_mm=280, heel_to_joint_mm=202, heel_height_mm=0, toe_spring_mm=15)

"""280 mm, apex 52 %, 20°, 15 mm of spring: the bench expects 34 mm at the apex over a sole that runs out to nothing, and
21 mm at 15°. The sole's own 6 mm come to it."""

LIGHT, HEAVY = Weighed(520, 620, 740), Weighed(620, 730, 860)


def says(rule: str, question: Question) -> list[str]:
    return [note.sentence for note in RULES[rule].notes(question)]
