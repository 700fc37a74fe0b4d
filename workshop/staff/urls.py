from django.urls import path

from workshop.staff import views

urlpatterns = [
    path("sign-in/", views.sign_in, name="sign-in"),
    path("sign-out/", views.sign_out, name="sign-out"),
    # /people/
    path("people/", views.people, name="people"),
    path("people/new/", views.person_new, name="person-new"),
    path("people/<uuid:uuid>/", views.person_edit, name="person-edit"),
    path("people/<uuid:uuid>/retire/", views.person_retire, name="person-retire"),
    path("people/<uuid:uuid>/bring-back/", views.person_bring_back, name="person-bring-back"),
    # /locked-out/
    path("locked-out/", views.locked_out, name="locked-out"),
    path("locked-out/let-try-again/", views.let_try_again, name="let-try-again"),
]
