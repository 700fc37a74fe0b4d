from django.urls import path

from cases.prescriptions import note_views, views

urlpatterns = [
    path("clients/<uuid:uuid>/prescriptions/new/", views.prescription_new, name="prescription-new"),
    path("prescriptions/<uuid:uuid>/", views.prescription, name="prescription"),
    path("prescriptions/<uuid:uuid>/sign/", views.prescription_sign, name="prescription-sign"),
    path("prescriptions/<uuid:uuid>/drawing/", views.prescription_drawing, name="prescription-drawing"),
    path("prescriptions/<uuid:uuid>/new-version/", views.prescription_new_version, name="prescription-new-version"),
    path("prescriptions/<uuid:uuid>/withdraw/", views.prescription_withdraw, name="prescription-withdraw"),
    path("prescriptions/<uuid:uuid>/keep/", views.prescription_keep, name="prescription-keep"),
    path("prescriptions/<uuid:uuid>/panel/", views.prescription_panel, name="prescription-panel"),
    path("prescriptions/<uuid:uuid>/open/", views.prescription_open, name="prescription-open"),
    path("prescriptions/<uuid:uuid>/order/", views.order_document_add, name="order-document-add"),
    path("prescriptions/<uuid:uuid>/order/take-over/", views.order_take_over, name="order-take-over"),
    path("prescriptions/<uuid:uuid>/pattern/", views.pattern_keep, name="prescription-pattern-keep"),
    path("order-documents/<uuid:uuid>/", views.order_document, name="order-document"),
    path("order-documents/<uuid:uuid>/take-off/", views.order_document_off, name="order-document-off"),
    path("prescription-patterns/", views.patterns, name="prescription-patterns"),
    path("prescription-patterns/<uuid:uuid>/retire/", views.pattern_retire, name="prescription-pattern-retire"),
    path("prescriptions/<uuid:uuid>/notes/", note_views.note_answer, name="note-answer"),
    path("notes/", note_views.notes, name="notes"),
    path("notes/switch/", note_views.note_switch, name="note-switch"),
]
