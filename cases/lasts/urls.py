from django.urls import path

from cases.lasts import views
from cases.lasts.views import casts, drafts, scans
from cases.lasts.views.lasts import last_measure
from cases.lasts.views.measures import slip_answer
from cases.lasts.views.nearest import nearest_lasts
from cases.lasts.views.photos import last_photo, last_photo_add, last_photo_small
from cases.lasts.views.rack import last_condition
from cases.lasts.views.rack_files import rack_export, rack_file, rack_import
from cases.lasts.views.shaping import (
    last_bottom,
    last_deformities,
    last_patch_drop,
    last_patch_new,
    last_target,
)

urlpatterns = [
    path("clients/<uuid:uuid>/measures/new/", views.measures_new, name="measures-new"),
    path("clients/<uuid:uuid>/measures/draft/", drafts.measures_draft, name="measures-draft"),
    path("clients/<uuid:uuid>/measures/draft/drop/", drafts.measures_draft_drop, name="measures-draft-drop"),
    path("clients/<uuid:uuid>/measures/sheet/", drafts.measures_sheet, name="measures-sheet"),
    path("measures/<uuid:uuid>/answer/", slip_answer, name="slip-answer"),
    path("measures/<uuid:uuid>/", views.measures, name="measures"),
    path("clients/<uuid:uuid>/casts/new/", views.cast_new, name="cast-new"),
    path("clients/<uuid:uuid>/casts/", casts.client_casts, name="client-casts"),
    path("casts/", casts.casts, name="casts"),
    path("casts/labels/", casts.cast_labels, name="cast-labels"),
    path("casts/<uuid:uuid>/", casts.cast, name="cast"),
    path("casts/<uuid:uuid>/move/", casts.cast_move, name="cast-move"),
    path("casts/<uuid:uuid>/label/", casts.cast_label, name="cast-label"),
    path("casts/<uuid:uuid>/destroy/", views.cast_destroy, name="cast-destroy"),
    path("clients/<uuid:uuid>/scans/new/", scans.scan_new, name="scan-new"),
    path("scans/<uuid:uuid>/", scans.scan, name="scan"),
    path("scans/<uuid:uuid>/place/", scans.scan_place, name="scan-place"),
    path("scans/<uuid:uuid>/take/", scans.scan_take, name="scan-take"),
    path("scans/<uuid:uuid>/file/", scans.scan_file, name="scan-file"),
    path("lasts/", views.last_rack, name="last-rack"),
    path("lasts/as-a-file/", rack_export, name="rack-export"),
    path("lasts/take-in/", rack_import, name="rack-import"),
    path("lasts/take-in/<uuid:uuid>/", rack_file, name="rack-file"),
    path("lasts/new/", views.stock_last_new, name="stock-last-new"),
    path("clients/<uuid:uuid>/lasts/new/", views.last_new, name="last-new"),
    path("clients/<uuid:uuid>/nearest-lasts/", nearest_lasts, name="nearest-lasts"),
    path("lasts/<uuid:uuid>/", views.last, name="last"),
    path("lasts/<uuid:uuid>/alter/", views.last_alter, name="last-alter"),
    path("lasts/<uuid:uuid>/measure/", last_measure, name="last-measure"),
    path("lasts/<uuid:uuid>/target/", last_target, name="last-target"),
    path("lasts/<uuid:uuid>/patches/new/", last_patch_new, name="last-patch-new"),
    path("patches/<uuid:uuid>/drop/", last_patch_drop, name="last-patch-drop"),
    path("lasts/<uuid:uuid>/bottom/", last_bottom, name="last-bottom"),
    path("lasts/<uuid:uuid>/deformities/", last_deformities, name="last-deformities"),
    path("lasts/<uuid:uuid>/agree/", views.last_agree, name="last-agree"),
    path("lasts/<uuid:uuid>/move/", views.last_move, name="last-move"),
    path("lasts/<uuid:uuid>/condition/", last_condition, name="last-condition"),
    path("lasts/<uuid:uuid>/photos/", last_photo_add, name="last-photo-add"),
    path("last-photos/<uuid:uuid>/", last_photo, name="last-photo"),
    path("last-photos/<uuid:uuid>/small/", last_photo_small, name="last-photo-small"),
]
