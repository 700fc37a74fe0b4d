"""The cut-away of a pair's shoes: every closed-in part where it will be, to scale, with its measures.

Four views a foot: medial side, lateral side, from above, from behind. One unit of a drawing is 1 mm. Pure.
"""

from cases.prescriptions.cut_away.pair import CutAway, changed_parts, cut_aways_of

__all__ = ["CutAway", "changed_parts", "cut_aways_of"]
