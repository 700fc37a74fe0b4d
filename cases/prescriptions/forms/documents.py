"""A paper of an order from elsewhere, as it is sent here."""

from typing import Any

from django import forms

from cases.prescriptions.documents import MOST_BYTES, TOO_LARGE, BadDocument, KeptDocument, kept_document
from cases.prescriptions.models import OrderKind
from shared.uploads import came_whole


class DocumentForm(forms.Form):
    """`document` stands after `is_valid`."""

    paper = forms.FileField(
        label="the document",
        widget=forms.FileInput(attrs={"accept": "application/pdf,image/jpeg,image/png"}),
        help_text="PDF, JPEG or PNG, up to 15 MB. A picture is kept without what the camera wrote into it.",
        error_messages={"required": "Choose the document first."},
    )
    kind = forms.ChoiceField(label="what it is", choices=OrderKind.choices)
    title = forms.CharField(label="title", max_length=120, error_messages={"required": "Give it a title."})

    document: KeptDocument | None = None

    def clean_paper(self) -> Any:
        paper = self.cleaned_data["paper"]
        if paper.size > MOST_BYTES or not came_whole(paper):
            raise forms.ValidationError(TOO_LARGE)
        try:
            self.document = kept_document(paper.read())
        except BadDocument as error:
            raise forms.ValidationError(str(error)) from error
        return paper
