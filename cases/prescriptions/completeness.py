"""What must be said before a prescription can be signed. Works on what `queries.whole` loaded."""

from collections.abc import Iterator

from cases.prescriptions.described import describe
from cases.prescriptions.models import Foot, Heel, Insole, Prescription, Relief, Sole, Stiffener, ToePuff
from cases.prescriptions.models.closed_in import PuffKind, Reach, ReliefWay
from cases.prescriptions.models.prescription import WorkKind
from shared.sides import SIDES, Side

BUILT_HERE = {WorkKind.NEW, WorkKind.REPEAT}
CHANGES_NOTHING = {"construction", "last"}
"""Parts in words that are said of a shoe without changing it."""


def missing(prescription: Prescription) -> tuple[str, ...]:
    """What is not yet said, in sentences that name the side; empty where the version may be signed."""
    return tuple(_missing(prescription))


def _missing(prescription: Prescription) -> Iterator[str]:
    if not prescription.construction:
        yield "Construction."
    yield from _missing_of_an_order(prescription)
    there = {foot.side for foot in prescription.foot_set.all()}
    for side in SIDES:
        if prescription.feet in {"both", side} and side not in there:
            yield f"{side.label}: everything; the work is on this shoe."
    if prescription.work in BUILT_HERE:
        for foot in prescription.foot_set.all():
            yield from (f"{Side(foot.side).label}: {what}." for what in _missing_of_a_built_shoe(foot))
    else:
        if not prescription.own_shoe:
            yield "Which of the client's own shoes the work is on."
        prescribed = [
            part for foot in describe(prescription) for part in foot.parts if part.part not in CHANGES_NOTHING
        ]
        if not prescribed:
            yield "At least one thing that is to be done."
    for foot in prescription.foot_set.all():
        yield from (f"{Side(foot.side).label}: {what}." for what in _half_said(foot))


def _missing_of_an_order(prescription: Prescription) -> Iterator[str]:
    if prescription.outside_author and not prescription.outside_profession:
        yield "The profession of the prescriber who ordered it."
    if prescription.outside_author and prescription.ordered_on is None:
        yield "The day on which it was ordered."


def _missing_of_a_built_shoe(foot: Foot) -> Iterator[str]:
    puff, insole = foot.one("toe_puff", ToePuff), foot.one("insole", Insole)
    sole, heel = foot.one("sole", Sole), foot.one("heel", Heel)
    if foot.last_id is None:
        yield "the last it is built on"
    elif foot.last is not None and foot.last.not_used_because:
        yield f"another last: {foot.last} is not to be used, {foot.last.not_used_because}"
    if foot.one("stiffener", Stiffener) is None:
        yield "the stiffener: medial and lateral reach, or none"
    if puff is None or not puff.kind:
        yield "the kind of toe puff, or none"
    if insole is None or insole.thickness_mm is None:
        yield "the thickness of the insole"
    if sole is None or not sole.material or sole.thickness_mm is None:
        yield "the sole's material and thickness"
    if heel is None or heel.height_mm is None:
        yield "the height of the heel"


def _half_said(foot: Foot) -> Iterator[str]:
    stiffener, puff = foot.one("stiffener", Stiffener), foot.one("toe_puff", ToePuff)
    if stiffener is not None and stiffener.is_there:
        if stiffener.medial_reach != Reach.NONE and stiffener.medial_reach_mm is None:
            yield "the medial reach of the stiffener in mm"
        if stiffener.lateral_reach != Reach.NONE and stiffener.lateral_reach_mm is None:
            yield "the lateral reach of the stiffener in mm"
        if stiffener.back_height_mm is None:
            yield "the back height of the stiffener"
    if puff is not None and puff.kind == PuffKind.WALL and puff.wall_height_mm is None:
        yield "where the wall puff begins to be soft, mm above the feather"
    for relief in foot.several("reliefs", Relief):
        if relief.way == ReliefWay.THINNED and relief.thinned_to_mm is None:
            yield f"what the relief at {relief.place} is thinned to"
