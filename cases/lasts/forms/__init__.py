"""The forms of this room."""

from cases.lasts.forms.casts import CastForm, DestroyForm
from cases.lasts.forms.lasts import AlterForm, MeasureLastForm, ReadingsForm, WorkedPatchesForm
from cases.lasts.forms.measuring import MeasuringForm
from cases.lasts.forms.rack import ConditionForm, LastForm, MoveForm, RackForm, first_of_a_last

__all__ = [
    "AlterForm",
    "CastForm",
    "ConditionForm",
    "DestroyForm",
    "LastForm",
    "MeasureLastForm",
    "MeasuringForm",
    "MoveForm",
    "RackForm",
    "ReadingsForm",
    "WorkedPatchesForm",
    "first_of_a_last",
]
