from django.urls import path

from cases.prescriptions import note_views, views

urlpatterns = [
    path("clients/<uuid:uuid>/prescriptions/new/", views.prescription_new, name="prescription-new"),
    path("prescriptions/<uuid:uuid>/", views.prescription, name="prescription"),
    path("prescriptions/<uuid:uuid>/sign/", views.prescription_sign, name="prescription-sign"),
    path("prescriptions/<uuid:uuid>/new-version/", views.prescription_new_version, name="prescription-new-version"),
    path("prescriptions/<uuid:uuid>/withdraw/", views.prescription_withdraw, name="prescription-withdraw"),
    path("prescriptions/<uuid:uuid>/notes/", note_views.note_answer, name="note-answer"),
    path("notes/", note_views.notes, name="notes"),
    path("notes/switch/", note_views.note_switch, name="note-switch"),
]
