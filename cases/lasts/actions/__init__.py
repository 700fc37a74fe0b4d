"""Everything that changes measures, casts and lasts."""

from cases.lasts.actions.casts import destroy_cast, register_cast, register_casts
from cases.lasts.actions.drafts import CHANGE, PAGE, draft_uuid, end_draft, keep_draft
from cases.lasts.actions.lasts import Remeasured, agree_last, alter_last, measure_last
from cases.lasts.actions.measures import (
    Answered,
    BulgeValue,
    LegValue,
    MeasureValue,
    answer_question,
    record_measures,
)
from cases.lasts.actions.rack import (
    LastFoot,
    SameForBoth,
    keep_photo,
    move_last,
    note_condition,
    register_last,
    register_lasts,
)
from cases.lasts.actions.rack_files import choose_rack_file, take_in_rack_file
from cases.lasts.actions.shaping import (
    BottomSeen,
    SameForBothTargets,
    TargetFoot,
    check_bottom,
    drop_patch,
    handle_deformity,
    plan_patch,
    set_last_target,
    set_last_targets,
)

__all__ = [
    "CHANGE",
    "PAGE",
    "Answered",
    "BottomSeen",
    "BulgeValue",
    "LastFoot",
    "LegValue",
    "MeasureValue",
    "Remeasured",
    "SameForBoth",
    "SameForBothTargets",
    "TargetFoot",
    "agree_last",
    "alter_last",
    "answer_question",
    "check_bottom",
    "choose_rack_file",
    "destroy_cast",
    "draft_uuid",
    "drop_patch",
    "end_draft",
    "handle_deformity",
    "keep_draft",
    "keep_photo",
    "measure_last",
    "move_last",
    "note_condition",
    "plan_patch",
    "record_measures",
    "register_cast",
    "register_casts",
    "register_last",
    "register_lasts",
    "set_last_target",
    "set_last_targets",
    "take_in_rack_file",
]
