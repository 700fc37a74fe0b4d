from django.urls import path

from cases.lasts import views

urlpatterns = [
    path("clients/<uuid:uuid>/measures/new/", views.measures_new, name="measures-new"),
    path("measures/<uuid:uuid>/", views.measures, name="measures"),
    path("clients/<uuid:uuid>/casts/new/", views.cast_new, name="cast-new"),
    path("casts/<uuid:uuid>/destroy/", views.cast_destroy, name="cast-destroy"),
    path("lasts/", views.last_rack, name="last-rack"),
    path("lasts/new/", views.stock_last_new, name="stock-last-new"),
    path("clients/<uuid:uuid>/lasts/new/", views.last_new, name="last-new"),
    path("lasts/<uuid:uuid>/", views.last, name="last"),
    path("lasts/<uuid:uuid>/alter/", views.last_alter, name="last-alter"),
    path("lasts/<uuid:uuid>/agree/", views.last_agree, name="last-agree"),
    path("lasts/<uuid:uuid>/move/", views.last_move, name="last-move"),
]
