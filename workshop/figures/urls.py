from django.urls import path

from workshop.figures import views

urlpatterns = [
    path("figures/", views.figures, name="figures"),
    path("figures/<slug:name>/", views.figure_edit, name="figure-edit"),
    path("materials/", views.materials, name="materials"),
    path("materials/new/", views.material_add, name="material-add"),
    path("materials/<uuid:uuid>/", views.material_edit, name="material-edit"),
]
