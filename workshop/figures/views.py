"""The workshop's figures and materials, and changing them."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.figures import actions, queries
from workshop.figures.forms import FigureForm, MaterialForm
from workshop.figures.models import Material
from workshop.figures.settings_table import GROUP_WORDS, GROUPS, SETTINGS
from workshop.staff.requests import StaffRequest


@allowed("manager")
@require_safe
def figures(request: StaffRequest) -> HttpResponse:
    valid = {row.name: row for row in queries.figures_valid(on=timezone.localdate())}
    groups = [
        (group.words, [(setting, valid[setting.name]) for setting in group.settings if setting.name in valid])
        for group in GROUPS
    ]
    return render(request, "figures/figures.html", {"groups": [group for group in groups if group[1]]})


@allowed("manager")
@require_http_methods(["GET", "HEAD", "POST"])
def figure_edit(request: StaffRequest, name: str) -> HttpResponse:
    setting = SETTINGS.get(name)
    if setting is None:
        raise Http404
    form = FigureForm(setting, request.POST or None, today=timezone.localdate())
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                actions.set_figure(
                    name,
                    value=form.new_value,
                    valid_from=form.cleaned_data["valid_from"],
                    source=form.cleaned_data["source"],
                    by=request.user,
                    at=timezone.now(),
                )
            except Refused as refused:
                form.add_error(None, refused.message)
            else:
                messages.success(request, f"Changed: {setting.words}.")
                return done("figures")
    context = {
        "setting": setting,
        "group": GROUP_WORDS[name],
        "form": form,
        "history": queries.history_of(name),
        "today": timezone.localdate(),
    }
    return render(request, "figures/figure.html", context, status=status)


@allowed("manager", "clinician", "maker")
@require_safe
def materials(request: StaffRequest) -> HttpResponse:
    context = {
        "materials": queries.materials_valid(on=timezone.localdate()),
        "may_edit": request.user.holds_any_of(("manager",)),
    }
    return render(request, "figures/materials.html", context)


@allowed("manager")
@require_http_methods(["GET", "HEAD", "POST"])
def material_add(request: StaffRequest) -> HttpResponse:
    return _material(request, known=None)


@allowed("manager")
@require_http_methods(["GET", "HEAD", "POST"])
def material_edit(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """The material that this row is of, as it is from another day on."""
    row = get_object_or_404(Material, uuid=uuid)
    return _material(request, known=queries.history_of_material(row.name)[0])


def _material(request: StaffRequest, *, known: Material | None) -> HttpResponse:
    is_sent = request.method == "POST"
    form = MaterialForm(request.POST if is_sent else None, known=known, today=timezone.localdate())
    if is_sent and form.is_valid():
        name = known.name if known else form.cleaned_data["name"]
        day = form.cleaned_data["valid_from"]
        try:
            actions.set_material(name, fields=form.columns, valid_from=day, by=request.user, at=timezone.now())
        except Refused as refused:
            form.add_error(None, refused.message)
        else:
            messages.success(request, f"Written down: {name}.")
            return done("materials")
    context = {
        "form": form,
        "known": known,
        "history": queries.history_of_material(known.name) if known else (),
        "today": timezone.localdate(),
    }
    return render(request, "figures/material.html", context, status=422 if is_sent else 200)
