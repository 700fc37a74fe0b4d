"""Heights and sizes to cut, by name, for the calculators page and the command line."""

from collections.abc import Callable
from typing import Any

from cases.prescriptions import cut_sizes, heights
from cases.prescriptions.raises import ARITHMETIC, MEASURE_AGAIN
from shared.calculations import Calculation, Input, Output, Worked

STACK = "Heights and pitch"
TO_CUT = "Sizes to cut"


def _stack_heights(**given: Any) -> Worked:
    found = heights.stack_heights(**given)
    figures = {"heel_mm": found.heel_mm, "joint_mm": found.joint_mm, "toe_mm": found.toe_mm}
    return Worked(figures, found.workings)


def _pitch(**given: Any) -> Worked:
    found = heights.pitch_of(**given)
    return Worked({output.name: getattr(found, output.name) for output in PITCH_OUTPUTS}, (found.workings,))


def _raised(name: str, words: str) -> Input:
    return Input(name, words, default=0.0)


RAISED_AT_HEEL = (
    _raised("in_shoe_heel_mm", "raise in the shoe, heel"),
    _raised("on_sole_heel_mm", "raise on the sole, heel"),
    _raised("on_sole_ball_mm", "raise on the sole, joint"),
)
PITCH_OUTPUTS = (
    Output("pitch_mm", "heel higher than the joint by"),
    Output("pitch_deg", "pitch", "°"),
    Output("against_last_mm", "against the last"),
    Output("against_last_deg", "against the last", "°"),
)

HEIGHTS: tuple[Calculation, ...] = (
    Calculation(
        name="stack-heights",
        words="height under the foot",
        subject=STACK,
        inputs=(
            Input("insole_mm", "insole", setting="insole_men_mm"),
            Input("sole_mm", "sole", example="6"),
            Input("heel_mm", "heel", example="22"),
            *RAISED_AT_HEEL,
            _raised("on_sole_toe_mm", "raise on the sole, toe"),
        ),
        outputs=(
            Output("heel_mm", "height under the heel"),
            Output("joint_mm", "height under the joint"),
            Output("toe_mm", "height under the toe"),
        ),
        source=ARITHMETIC,
        work=_stack_heights,
        cautions=(MEASURE_AGAIN,),
    ),
    Calculation(
        name="pitch",
        words="pitch of a shoe",
        subject=STACK,
        inputs=(
            Input("heel_mm", "heel", example="22"),
            Input("heel_to_joint_mm", "heel to 1st joint", example="205"),
            Input("last_heel_mm", "heel height of the last", example="22"),
            *RAISED_AT_HEEL,
        ),
        outputs=PITCH_OUTPUTS,
        source=ARITHMETIC,
        work=_pitch,
        cautions=(MEASURE_AGAIN,),
    ),
)


def _cut(name: str, words: str, work: Callable[..., cut_sizes.Piece], *inputs: Input) -> Calculation:
    """One piece, cut full."""

    def worked(**given: Any) -> Worked:
        piece = work(**given)
        return Worked({"long_mm": piece.long_mm, "broad_mm": piece.broad_mm}, (piece.workings,))

    return Calculation(
        name=name,
        words=f"{words}, to cut",
        subject=TO_CUT,
        inputs=inputs,
        outputs=(Output("long_mm", "length"), Output("broad_mm", "breadth")),
        source=cut_sizes.SIZES,
        work=worked,
        cautions=(cut_sizes.STARTING_PIECE,),
    )


START = Input("start_mm", "begins, from the back of the heel", example="193")
END = Input("end_mm", "ends, from the back of the heel", example="270")
WIDTH = Input("width_mm", "greatest width there", example="100")
PUFF_MARGIN = Input("margin_mm", "margin", setting="puff_margin_mm")

CUTS: tuple[Calculation, ...] = (
    _cut(
        "cut-stiffener",
        "stiffener",
        cut_sizes.stiffener_piece,
        Input("medial_reach_mm", "medial reach", example="133"),
        Input("lateral_reach_mm", "lateral reach", example="116"),
        Input("back_height_mm", "back height", example="52"),
        Input("margin_mm", "lasting margin", setting="stiffener_margin_mm"),
    ),
    _cut(
        "cut-toe-puff",
        "toe puff",
        cut_sizes.puff_piece,
        Input("length_mm", "over the toe, from its back edge to the feather edge", example="70"),
        Input("over_toes_mm", "over the toes at its back edge", example="120"),
        PUFF_MARGIN,
    ),
    _cut(
        "cut-wall-puff",
        "wall puff",
        cut_sizes.wall_puff_piece,
        Input("round_the_toe_mm", "round the toe along the feather edge", example="180"),
        Input("wall_mm", "wall", setting="puff_wall_height_mm"),
        Input("fade_mm", "then to nothing over", setting="puff_wall_fade_mm"),
        PUFF_MARGIN,
    ),
    _cut(
        "cut-insole",
        "insole",
        cut_sizes.insole_piece,
        Input("length_mm", "length of the finished insole", example="285"),
        Input("width_mm", "greatest width of the finished insole", example="100"),
        Input("oversize_mm", "oversize all round", setting="insole_cut_oversize_mm"),
        Input("turn_up_medial_mm", "turned up, medial", default=0.0),
        Input("turn_up_lateral_mm", "turned up, lateral", default=0.0),
        Input("turn_up_heel_mm", "turned up, heel", default=0.0),
    ),
    _cut(
        "cut-scoured-zone",
        "scoured zone and its cushion",
        cut_sizes.zone_piece,
        START,
        END,
        WIDTH,
        Input("rim_mm", "rim left", setting="scoured_rim_mm"),
        Input("scoured_to_mm", "scoured to", setting="scoured_left_mm"),
    ),
    _cut(
        "cut-shank",
        "shank",
        cut_sizes.shank_piece,
        Input("heel_to_joint_line_mm", "heel to the joint line, at the shank's lateral edge", example="191"),
        Input("rear_end_in_seat_mm", "rear end ahead of the back of the seat", setting="shank_in_seat_mm"),
        Input("front_end_behind_joint_mm", "front end behind the joint line", setting="shank_behind_joint_mm"),
        Input("width_mm", "width", setting="shank_width_mm"),
        Input("thickness_mm", "thickness", setting="shank_thickness_mm"),
    ),
    _cut(
        "cut-carbon",
        "carbon zone",
        cut_sizes.carbon_piece,
        Input("start_mm", "begins, from the back of the heel", example="70"),
        Input("end_mm", "ends, from the back of the heel", example="273"),
        WIDTH,
        Input("edge_mm", "short of the feather edge", setting="carbon_edge_in_mm"),
        Input("plies", "plies", "", setting="carbon_plies_rigid"),
        Input("overlap_on_shank_mm", "overlap on the shank", setting="carbon_overlap_shank_mm"),
    ),
)
