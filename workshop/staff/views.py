"""Coming in and going out, the people of the workshop, and who is locked out."""

from uuid import UUID

from django.contrib import messages
from django.contrib.auth import logout
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shared.fragments import done
from shared.kept import KeptForm
from shared.once import repeatable
from shared.permissions import allowed, open_to_everybody
from shared.refusals import Refused
from shared.versions import Stale
from workshop.staff import actions, queries, session
from workshop.staff.forms import PersonForm, SignInForm
from workshop.staff.guessing import TooManyTries, who_has_password
from workshop.staff.models import Person
from workshop.staff.requests import StaffRequest

shown_and_sent = require_http_methods(["GET", "HEAD", "POST"])


@open_to_everybody
@repeatable
@shown_and_sent
def sign_in(request: HttpRequest) -> HttpResponse:
    after, kept = session.page_after(request), KeptForm.read(request.POST)
    if request.method != "POST":
        if request.user.is_authenticated:
            return done(after)
        return render(request, "staff/sign_in.html", {"form": SignInForm(), "next": after})
    form = SignInForm(request.POST)
    status = 422
    if form.is_valid():
        at, address = timezone.now(), session.address_of(request)
        try:
            person = who_has_password(**form.cleaned_data, address=address, at=at)
        except TooManyTries as refused:
            form.add_error(None, refused.message)
            status = refused.status
        else:
            if person is not None:
                session.enter(request, person, at=at)
                return render(request, "staff/send_again.html", {"kept": kept}) if kept else done(after)
            form.add_error(None, "The sign-in name or the password is not right.")
    return render(request, "staff/sign_in.html", {"form": form, "next": after, "kept": kept}, status=status)


@open_to_everybody
@repeatable
@require_POST
def sign_out(request: StaffRequest) -> HttpResponse:
    logout(request)
    return done("terminal-unlock" if request.terminal else "sign-in")


@allowed("administrator")
@require_safe
def people(request: StaffRequest) -> HttpResponse:
    return render(request, "staff/people.html", {"people": queries.people()})


@allowed("administrator")
@shown_and_sent
def person_new(request: StaffRequest) -> HttpResponse:
    form = PersonForm(request.POST or None)
    if request.method != "POST":
        return render(request, "staff/person.html", {"form": form})
    if form.is_valid():
        try:
            with transaction.atomic():
                at, password, pin = timezone.now(), form.cleaned_data["password"], form.cleaned_data["pin"]
                person = actions.make_person(**form.entry, password=password, by=request.user, at=at)
                if pin:
                    actions.set_pin(person, pin=pin, by=request.user, at=at)
        except Refused as refused:
            form.add_error(None, refused.message)
        else:
            messages.success(request, f"{person.name} can sign in now.")
            return done("people")
    return render(request, "staff/person.html", {"form": form}, status=422)


@allowed("administrator")
@shown_and_sent
def person_edit(request: StaffRequest, uuid: UUID) -> HttpResponse:
    person = get_object_or_404(queries.people(), uuid=uuid)
    form = PersonForm(request.POST or None, person=person)
    context = {"form": form, "person": person, "seen_version": form["seen_version"].value()}
    if request.method != "POST":
        return render(request, "staff/person.html", context)
    status = 422
    if form.is_valid():
        try:
            _change(person, form, by=request.user)
        except Stale as stale:
            status, current = stale.status, queries.people().get(pk=person.pk)
            context |= {"stale": stale, "stale_rows": form.beside(current), "seen_version": current.version}
        except Refused as refused:
            form.add_error(None, refused.message)
        else:
            messages.success(request, f"Saved: {person.name}.")
            return done("people")
    return render(request, "staff/person.html", context, status=status)


@transaction.atomic
def _change(person: Person, form: PersonForm, *, by: Person) -> None:
    at, given = timezone.now(), form.cleaned_data
    actions.change_person(person, seen_version=given["seen_version"], **form.entry, by=by, at=at)
    if given["password"]:
        actions.set_password(person, password=given["password"], by=by, at=at)
    if given["pin"]:
        actions.set_pin(person, pin=given["pin"], by=by, at=at)
    elif given.get("remove_pin"):
        actions.remove_pin(person, by=by, at=at)


@allowed("administrator")
@require_POST
def person_retire(request: StaffRequest, uuid: UUID) -> HttpResponse:
    person = get_object_or_404(Person, uuid=uuid)
    actions.retire_person(person, by=request.user, at=timezone.now())
    messages.success(request, f"{person.name} has left.")
    return done("people")


@allowed("administrator")
@require_POST
def person_bring_back(request: StaffRequest, uuid: UUID) -> HttpResponse:
    person = get_object_or_404(Person, uuid=uuid)
    actions.bring_back_person(person, by=request.user, at=timezone.now())
    messages.success(request, f"{person.name} works here again.")
    return done("people")


@allowed("manager", "administrator")
@require_safe
def locked_out(request: StaffRequest) -> HttpResponse:
    return render(request, "staff/locked_out.html", {"locked_out": queries.locked_out(at=timezone.now())})


@allowed("manager", "administrator")
@require_POST
def let_try_again(request: StaffRequest) -> HttpResponse:
    by, at = request.user, timezone.now()
    waiting = queries.locked_out(at=at)
    for person in waiting.people:
        if str(person.uuid) == request.POST.get("person"):
            actions.let_person_try_again(person, by=by, at=at)
    for address in waiting.addresses:
        if address == request.POST.get("address"):
            actions.let_address_try_again(address, by=by, at=at)
    return done("locked-out")
