from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("workshop.staff.urls")),
    path("", include("workshop.terminals.urls")),
    path("", include("workshop.hours.urls")),
    path("", include("workshop.figures.urls")),
    path("", include("cases.patients.urls")),
    path("", include("cases.diary.urls")),
    path("", include("cases.lasts.urls")),
    path("", include("cases.prescriptions.urls")),
    path("", include("cases.bench.urls")),
    path("", include("cases.patterns.urls")),
    path("", include("cases.fittings.urls")),
    path("", include("cases.overview.urls")),
]
