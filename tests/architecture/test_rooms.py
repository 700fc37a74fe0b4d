"""What the import contract cannot see."""

import subprocess
import sys
from typing import Any

import pytest
from django.db.models import Model

from tests.architecture.walk import ROOT, own_models

ROOMS = [
    "shared",
    "staff",
    "hours",
    "figures",
    "patients",
    "diary",
    "lasts",
    "prescriptions",
    "bench",
    "patterns",
    "fittings",
]

KEEPS_NO_HISTORY = {
    "shared.Deed": "is the who, what and why itself",
    "shared.HistoryEntry": "is history",
    "shared.Submission": "a key that is purged; changes no record",
    "staff.Attempt": "a counter against guessing; changes no record",
    "prescriptions.DraftPresence": "who looks at a draft just now; changes no record",
    "lasts.MeasuringDraft": "what is typed and not saved yet; a record is made of it when it is saved",
    "lasts.RackFile": "a file that was chosen and not taken in yet; records are made of it when it is taken in",
}


def trigger_names(model: type[Model]) -> set[str]:
    import pgtrigger

    return {
        str(trigger.name)
        for registered, trigger in pgtrigger.registered()
        if registered._meta.label == model._meta.label
    }


@pytest.mark.parametrize("model", own_models(), ids=lambda model: model._meta.label)
def test_every_record_keeps_history(model: type[Model]) -> None:
    keeps = "keeps_history" in trigger_names(model)
    assert keeps == (model._meta.label not in KEEPS_NO_HISTORY)


@pytest.mark.parametrize("model", own_models(), ids=lambda model: model._meta.label)
def test_no_relation_points_to_a_later_room(model: type[Model]) -> None:
    here = ROOMS.index(model._meta.app_label)
    relations: list[Any] = [field for field in model._meta.get_fields() if field.is_relation and not field.auto_created]
    to_later = [
        field.name
        for field in relations
        if ROOMS.index(field.related_model._meta.app_label) > here and model._meta.label != "shared.Submission"
    ]
    assert to_later == []


PURE_MODULES = [
    "cases.patients.conditions",
    "cases.patients.red_flags",
    "cases.patients.risk",
    "cases.patients.search",
    "cases.diary.clock",
    "cases.diary.free_times",
    "cases.lasts.calculations",
    "cases.lasts.calculations_of_lasts",
    "cases.lasts.alteration",
    "cases.lasts.girths",
    "cases.lasts.drawings.tapes",
    "cases.lasts.measures",
    "cases.lasts.nearest",
    "cases.lasts.rack_columns",
    "cases.lasts.rack_files",
    "cases.lasts.sizes_asked",
    "cases.lasts.meshes.apart",
    "cases.lasts.meshes.measuring",
    "cases.lasts.meshes.stations",
    "cases.lasts.drawings.scans",
    "cases.lasts.slips",
    "cases.lasts.outline",
    "cases.lasts.profile",
    "cases.lasts.sizes",
    "cases.lasts.stations",
    "cases.lasts.target",
    "cases.prescriptions.calculations",
    "cases.prescriptions.cut_away",
    "cases.prescriptions.notes",
    "cases.prescriptions.shoe",
    "cases.prescriptions.weight_of_shoe",
    "cases.prescriptions.raises",
    "cases.prescriptions.reaches",
    "cases.prescriptions.rigidity",
    "cases.prescriptions.rocker",
    "cases.prescriptions.starting_values",
    "cases.bench.measured",
    "cases.bench.route",
    "cases.bench.stage_table",
    "cases.patterns.cutting",
    "cases.patterns.drafting.pieces_of",
    "cases.patterns.leather",
    "cases.patterns.on_screen",
    "cases.patterns.sheets.layout",
    "cases.fittings.wear_in",
    "workshop.figures.last_settings",
    "workshop.figures.settings_table",
    "workshop.figures.materials_table",
    "shared.calculations",
    "shared.photos",
    "shared.units",
    "shared.workings",
    "shared.drawing.stitches",
]


@pytest.mark.parametrize("module", PURE_MODULES)
def test_a_trade_module_runs_without_django(module: str) -> None:
    code = f"import sys, {module}; print(sorted(name for name in sys.modules if name.split('.')[0] == 'django'))"
    result = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "[]"
