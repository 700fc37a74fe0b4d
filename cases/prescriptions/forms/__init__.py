"""What a clinician fills in: the pair, and block by block the parts of both feet."""

from cases.prescriptions.forms.beginning import NewForm, NewVersionForm
from cases.prescriptions.forms.documents import DocumentForm
from cases.prescriptions.forms.extent import Extent
from cases.prescriptions.forms.sheet import Sheet

__all__ = ["DocumentForm", "Extent", "NewForm", "NewVersionForm", "Sheet"]
