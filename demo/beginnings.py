"""What a prescription may begin from: patterns of the workshop, and an order that came from elsewhere. All invented."""

from collections.abc import Mapping
from datetime import timedelta
from io import BytesIO

from django.utils import timezone
from PIL import Image, ImageDraw, ImageFont

from cases.bench.models import Pair
from cases.prescriptions import actions as prescriptions
from cases.prescriptions.documents import kept_document
from cases.prescriptions.models import Foot
from demo.clinic import Clinic
from shared.sides import Side

PATTERNS = (
    ("wide-strap boot, no sensation", "healed-ulcer", Side.LEFT),
    ("laced shoe over bent toes, wall puff", "hammer-toes", Side.LEFT),
)
"""Name, and the client and foot from whose prescription it was kept."""

PRESCRIBER = "Rosalind Penhale (invented)"
ORDER = """
Foot Clinic, Larkfield (invented)

Please make for Cecily Marrable, record 1052:

one pair of soft ankle boots to go out in, seam-free,
one strap with a big tab, on the lasts you hold.
Sole light, heel 10 mm, a cushion under all of the foot.

Rosalind Penhale (invented), podiatrist
"""
PAPER_PX, TYPE_PX, MARGIN_PX = (1000, 700), 26, 60


def keep_patterns(clinic: Clinic, pairs: Mapping[str, Pair]) -> None:
    """Keep two good shoes as patterns, some weeks ago."""
    for name, client, side in PATTERNS:
        foot = Foot.objects.select_related("prescription").get(
            prescription__patient=pairs[client].patient, prescription__number=1, side=side
        )
        at = clinic.now - timedelta(days=21)
        prescriptions.keep_pattern(foot.prescription, foot=foot, name=name, by=clinic.staff["iris"], at=at)


def receive_an_order(clinic: Clinic, pair: Pair) -> None:
    """A prescriber elsewhere ordered another pair by letter: entered and taken over this week, not yet signed."""
    iris, at = clinic.staff["iris"], clinic.now - timedelta(days=1)
    draft = prescriptions.start_prescription(
        pair.patient, work="new", feet="both", construction="cemented", purpose="to go out in", by=iris, at=at
    )
    prescriptions.keep_order_document(
        draft, kind="letter", title="Letter of the prescriber", document=kept_document(_letter()), by=iris, at=at
    )
    prescriptions.save_draft(
        draft,
        seen_version=draft.version,
        fields={
            "outside_author": PRESCRIBER,
            "outside_profession": "podiatrist",
            "ordered_on": timezone.localdate(at) - timedelta(days=4),
            "taken_over_by": iris,
        },
        by=iris,
        at=at,
    )


def _letter() -> bytes:
    """The letter as a scanner would send it."""
    paper = Image.new("L", PAPER_PX, 255)
    ImageDraw.Draw(paper).multiline_text(
        (MARGIN_PX, MARGIN_PX), ORDER.strip(), fill=0, font=ImageFont.load_default(TYPE_PX), spacing=12
    )
    sent = BytesIO()
    paper.save(sent, "PNG")
    return sent.getvalue()
