from django.urls import path

from cases.patients import views

urlpatterns = [
    path("clients/", views.clients, name="clients"),
    path("clients/new/", views.client_new, name="client-new"),
    path("clients/<uuid:uuid>/edit/", views.client_edit, name="client-edit"),
    path("clients/<uuid:uuid>/open/", views.open_record, name="open-record"),
    path("clients/<uuid:uuid>/findings/", views.finding_add, name="finding-add"),
    path("findings/<uuid:uuid>/end/", views.finding_end, name="finding-end"),
    path("clients/<uuid:uuid>/allergies/", views.allergy_add, name="allergy-add"),
    path("allergies/<uuid:uuid>/end/", views.allergy_end, name="allergy-end"),
    path("clients/<uuid:uuid>/red-flags/", views.red_flag_raise, name="red-flag-raise"),
    path("red-flags/<uuid:uuid>/answer/", views.red_flag_answer, name="red-flag-answer"),
    path("papers/<uuid:uuid>/", views.paper, name="paper"),
]
