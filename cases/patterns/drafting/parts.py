"""What a piece counts as: for the check of its part, and for a maker who cuts it by a template of his own."""

from collections.abc import Mapping

from cases.patterns.drafting.pieces import Piece

CHECKED_AS: Mapping[str, str] = {
    "forepart_cushion": "cushion_forepart",
    "full_cushion": "cushion_full",
    "heel_cushion": "cushion_heel",
    "bar": "metatarsal_bar",
    "dome": "metatarsal_dome",
    "heel_lift": "raise_in_shoe",
}
"""Pieces by their key, where a foot may have several of one part."""
PARTS_CHECKED_AS: Mapping[str, str] = {"carbon_zone": "carbon", "height_raise": "raise_on_sole"}
LAYERS: Mapping[str, str] = {"carbon_ply_": "carbon plies", "raise_layer_": "raise layers"}
"""Pieces that lie on each other, by how their keys begin: one template stands for all of them."""


def checked_as(piece: Piece) -> str:
    """The bench's key of the part that this piece is checked as."""
    return CHECKED_AS.get(piece.key) or PARTS_CHECKED_AS.get(piece.part, piece.part)


def cut_as(piece: Piece) -> str:
    """What an own template stands for: this piece, or all layers of its part."""
    return next(
        (words.replace(" ", "_") for begins, words in LAYERS.items() if piece.key.startswith(begins)), piece.key
    )


def cut_words(piece: Piece) -> str:
    """The same in words."""
    words = next((words for begins, words in LAYERS.items() if piece.key.startswith(begins)), piece.name)
    return words[:1].lower() + words[1:]
