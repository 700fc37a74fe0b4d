from django.urls import path

from cases.fittings import views

urlpatterns = [
    path("visits/<uuid:uuid>/take-back/", views.visit_take_back, name="visit-take-back"),
    path("visits/<uuid:uuid>/", views.visit_page, name="visit"),
    path("visits/<uuid:uuid>/fitting/", views.fitting_new, name="fitting-new"),
    path("visits/<uuid:uuid>/hand-over/", views.hand_over_new, name="hand-over-new"),
    path("visits/<uuid:uuid>/review/", views.review_new, name="review-new"),
    path("fittings/<uuid:uuid>/", views.fitting, name="fitting"),
    path("hand-overs/<uuid:uuid>/", views.hand_over, name="hand-over"),
    path("reviews/<uuid:uuid>/", views.review, name="review"),
]
