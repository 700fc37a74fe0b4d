"""A prescription in words: every prescribed value of a foot, part by part, in the order a maker reads it.

Works on what `queries.whole` loaded, without asking the database anything.
"""

from cases.prescriptions.described.closed_in import closed_in_parts
from cases.prescriptions.described.differences import (
    PartDifference,
    between_feet,
    of_the_pair,
    order_in_words,
    pair_in_words,
)
from cases.prescriptions.described.shape import FootInWords, PartInWords
from cases.prescriptions.described.side_by_side import side_by_side
from cases.prescriptions.described.underfoot import underfoot_parts
from cases.prescriptions.described.visible import visible_parts
from cases.prescriptions.models import Prescription

__all__ = [
    "FootInWords",
    "PartDifference",
    "PartInWords",
    "describe",
    "differences_in_words",
    "order_in_words",
    "pair_in_words",
    "side_by_side",
]


def describe(prescription: Prescription) -> tuple[FootInWords, ...]:
    """Each foot that the work is on, LEFT before RIGHT, with what is prescribed for it and nothing else."""
    feet = []
    for foot in sorted(prescription.foot_set.all(), key=lambda foot: foot.side):
        foot.prescription = prescription
        feet.append(
            FootInWords(
                side=foot.side,
                visible=tuple(visible_parts(foot)),
                closed_in=tuple(closed_in_parts(foot)),
                underfoot=tuple(underfoot_parts(foot)),
            )
        )
    return tuple(feet)


def differences_in_words(old: Prescription, new: Prescription) -> tuple[PartDifference, ...]:
    """What the new version says otherwise than the old one: of the pair, then foot by foot and part by part."""
    return (*of_the_pair(old, new), *between_feet(describe(old), describe(new)))
