"""Printing a paper once: what did not change since it was last printed is given out again exactly as it was."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.conf import settings

from cases.patients.actions import keep_paper
from cases.patients.models import Paper, PaperKind, Patient
from shared.papers.render import fingerprint, render_pdf
from workshop.staff.models import Person


@dataclass(frozen=True)
class Draft:
    """A paper before it is printed: whose it is, what it is about, and what its template is filled with."""

    patient: Patient
    kind: PaperKind
    title: str
    template: str
    context: dict[str, Any]
    about_uuid: UUID
    pair_uuid: UUID | None
    most_pages: int | None = None


def print_once(draft: Draft, *, by: Person, at: datetime) -> Paper:
    """The kept paper where it would say the same if it were printed anew; else a new one that replaces it.

    The day of printing and who printed it are no change.
    """
    kept = (
        Paper.objects.filter(
            patient=draft.patient, kind=draft.kind, about_uuid=draft.about_uuid, replaced_by__isnull=True
        )
        .select_related("rendered_by")
        .defer("pdf")
        .order_by("-rendered_at", "-pk")
        .first()
    )
    filled = _filling(draft)
    if kept and kept.template_version == fingerprint(draft.template, filled(kept.rendered_by, kept.rendered_at)):
        return kept
    context = filled(by, at)
    return keep_paper(
        patient=draft.patient,
        kind=draft.kind,
        title=draft.title,
        # The template as filled: its digest tells whether anything on the paper would be different today.
        template_version=fingerprint(draft.template, context),
        pdf=render_pdf(draft.template, context, most_pages=draft.most_pages),
        about_uuid=draft.about_uuid,
        pair_uuid=draft.pair_uuid,
        by=by,
        at=at,
    )


def _filling(draft: Draft) -> Callable[[Person, datetime], dict[str, Any]]:
    def filled(by: Person, at: datetime) -> dict[str, Any]:
        return {
            **draft.context,
            "title": draft.title,
            "printed_by": by,
            "printed_at": at,
            "is_demonstration": settings.IS_DEMONSTRATION,
        }

    return filled
