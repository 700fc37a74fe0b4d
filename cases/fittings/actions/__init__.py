"""Fittings, hand-overs and reviews: each is written once and completes its visit."""

from cases.fittings.actions.fitting import record_fitting
from cases.fittings.actions.hand_over import hand_over
from cases.fittings.actions.review import record_review
from cases.fittings.actions.visits import take_back_mark
from cases.fittings.entries import FittingNote, FootReview

__all__ = ["FittingNote", "FootReview", "hand_over", "record_fitting", "record_review", "take_back_mark"]
