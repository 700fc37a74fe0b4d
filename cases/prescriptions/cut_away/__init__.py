"""The cut-away of one foot's shoe: every closed-in part where it will be, to scale, with its measures.

Four views: medial side, lateral side, from above, from behind. One unit of a drawing is 1 mm. Pure.
"""

from cases.prescriptions.cut_away.above import view_from_above
from cases.prescriptions.cut_away.behind import view_from_behind
from cases.prescriptions.cut_away.sheet import CutAway
from cases.prescriptions.cut_away.side import view_from_the_side
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge

__all__ = ["CutAway", "cut_away_of"]


def cut_away_of(shoe: Shoe) -> CutAway:
    """All views of one shoe. Raises `BadInput` where the form under it cannot be drawn."""
    return CutAway(
        side=shoe.side,
        drawn_from=shoe.form.drawn_from,
        medial=view_from_the_side(shoe, Edge.MEDIAL),
        lateral=view_from_the_side(shoe, Edge.LATERAL),
        above=view_from_above(shoe),
        behind=view_from_behind(shoe),
    )
