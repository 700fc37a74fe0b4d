"""The forms of this room."""

from cases.lasts.forms.casts import CastForm, DestroyForm
from cases.lasts.forms.lasts import AlterForm
from cases.lasts.forms.measuring import MeasuringForm
from cases.lasts.forms.rack import LastForm, MoveForm, RackForm, first_of_a_last

__all__ = [
    "AlterForm",
    "CastForm",
    "DestroyForm",
    "LastForm",
    "MeasuringForm",
    "MoveForm",
    "RackForm",
    "first_of_a_last",
]
