from django.urls import path

from cases.overview.calculators import calculator, calculators
from cases.overview.client import client
from cases.overview.clinic import clinic
from cases.overview.desk import desk
from cases.overview.home import home
from cases.overview.last_sheet import last_sheet_print
from cases.overview.late import late
from cases.overview.pair import job_card_print, pair, review_letter_print

urlpatterns = [
    path("", home, name="home"),
    path("desk/", desk, name="desk"),
    path("clinic/", clinic, name="clinic"),
    path("late/", late, name="late"),
    path("calculators/", calculators, name="calculators"),
    path("calculators/<slug:name>/", calculator, name="calculator"),
    path("clients/<uuid:uuid>/", client, name="client"),
    path("pairs/<uuid:uuid>/", pair, name="pair"),
    path("pairs/<uuid:uuid>/job-card/", job_card_print, name="job-card-print"),
    path("lasts/<uuid:uuid>/sheet/", last_sheet_print, name="last-sheet-print"),
    path("reviews/<uuid:uuid>/letter/", review_letter_print, name="review-letter-print"),
]
