from django.urls import path

from cases.prescriptions import views

urlpatterns = [
    path("clients/<uuid:uuid>/prescriptions/new/", views.prescription_new, name="prescription-new"),
    path("prescriptions/<uuid:uuid>/", views.prescription, name="prescription"),
    path("prescriptions/<uuid:uuid>/sign/", views.prescription_sign, name="prescription-sign"),
    path("prescriptions/<uuid:uuid>/new-version/", views.prescription_new_version, name="prescription-new-version"),
    path("prescriptions/<uuid:uuid>/withdraw/", views.prescription_withdraw, name="prescription-withdraw"),
]
