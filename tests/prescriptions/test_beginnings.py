"""What a draft begins from, and whose order it was: patterns, the last pair, an outside prescriber's letter."""

from collections.abc import Callable
from datetime import date, datetime
from io import BytesIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from cases.fittings.wear_in import TABLES
from cases.prescriptions import actions, completeness, queries
from cases.prescriptions.documents import BadDocument, KeptDocument, kept_document
from cases.prescriptions.forms.pair import WEAR_IN
from cases.prescriptions.models import Foot, Insole, OrderDocument, Prescription, StartingPattern, Stiffener, Wedge
from shared.refusals import Refused
from tests.factories.figures import load_figures
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_patient
from tests.factories.prescriptions import A_PDF, make_prescription, make_signed_prescription
from tests.factories.staff import make_person
from tests.prescriptions.pages import filled_in
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


@pytest.fixture
def at_the_tablet(clinician: Person, signed_in: SignIn) -> Client:
    return signed_in(clinician)


def foot_of(version: Prescription, side: str) -> Foot:
    return next(foot for foot in queries.whole(version.uuid).foot_set.all() if foot.side == side)


def a_pattern(clinician: Person, now: datetime, **of_the_foot: Any) -> StartingPattern:
    source = make_prescription(left=of_the_foot)
    return actions.keep_pattern(source, foot=foot_of(source, "left"), name="Soft", by=clinician, at=now)


# Patterns --------------------------------------------------------------------------------------------------------


def test_a_draft_begun_from_a_pattern_has_its_parts_on_both_feet(clinician: Person, now: datetime) -> None:
    pattern = a_pattern(
        clinician, now, insole={"thickness_mm": "3.5"}, wedges=[{"place": "heel", "edge": "medial", "height_mm": 4}]
    )
    begun = actions.start_prescription(
        make_patient(), work="new", feet="both", construction="cemented", pattern=pattern, by=clinician, at=now
    )
    feet = [foot_of(begun, side) for side in ("left", "right")]
    insoles = [foot.one("insole", Insole) for foot in feet]
    assert (
        [insole and str(insole.thickness_mm) for insole in insoles],
        [len(foot.several("wedges", Wedge)) for foot in feet],
    ) == (["3.5", "3.5"], [1, 1])


def test_lengths_that_are_a_clients_own_are_worked_out_anew(clinician: Person, now: datetime) -> None:
    pattern = a_pattern(
        clinician,
        now,
        stiffener={"medial_reach": "long", "medial_reach_mm": 133, "lateral_reach": "short", "lateral_reach_mm": 99},
    )
    patient = make_patient()
    make_measure_set(patient=patient, left={"heel_to_joint": 200, "heel_to_fifth": 180})
    begun = actions.start_prescription(
        patient, work="new", feet="left", construction="cemented", pattern=pattern, by=clinician, at=now
    )
    stiffener = foot_of(begun, "left").one("stiffener", Stiffener)
    assert stiffener is not None
    assert [f"{each:f}" for each in (stiffener.medial_reach_mm, stiffener.lateral_reach_mm) if each] == [
        "199.0",
        "90.0",
    ]


def test_a_pattern_keeps_no_remarks_about_a_client(clinician: Person, now: datetime) -> None:
    pattern = a_pattern(clinician, now, foot={"remarks": "as for her sister"}, stiffener={"remarks": "as last year"})
    assert "as " not in str(pattern.parts)


def test_a_pattern_keeps_how_stiff_its_forepart_is_to_be(clinician: Person, now: datetime) -> None:
    pattern = a_pattern(clinician, now, foot={"forepart_asked": "rigid", "orthosis_room": "a caliper"})
    begun = actions.start_prescription(
        make_patient(), work="new", feet="right", construction="cemented", pattern=pattern, by=clinician, at=now
    )
    foot = foot_of(begun, "right")
    assert (foot.forepart_asked, foot.orthosis_room) == ("rigid", "")


def test_two_patterns_have_two_names(clinician: Person, now: datetime) -> None:
    a_pattern(clinician, now)
    with pytest.raises(Refused, match="already a pattern of this name"):
        a_pattern(clinician, now)


def test_a_retired_pattern_is_offered_no_more(clinician: Person, now: datetime) -> None:
    actions.retire_pattern(a_pattern(clinician, now), by=clinician, at=now)
    assert list(queries.patterns()) == []


def test_a_pattern_is_kept_and_chosen_on_the_page(at_the_tablet: Client, clinician: Person) -> None:
    source = make_prescription(construction="moccasin")
    at_the_tablet.post(reverse("prescription-pattern-keep", args=[source.uuid]), {"name": "House shoe", "side": "left"})
    pattern = StartingPattern.objects.get()
    patient = make_patient()
    new = reverse("prescription-new", args=[patient.uuid])
    asked = {"work": "new", "feet": "both", "construction": "cemented", "start": str(pattern.uuid)}
    at_the_tablet.post(new, asked)
    assert patient.prescriptions.get().construction == "moccasin"


def test_a_manager_reads_patterns_and_keeps_none(signed_in: SignIn) -> None:
    manager = signed_in(make_person(roles=["manager"]))
    keeps = reverse("prescription-pattern-keep", args=[make_prescription().uuid])
    seen = manager.get(reverse("prescription-patterns")).status_code
    assert (seen, manager.post(keeps, {"name": "Mine", "side": "left"}).status_code) == (200, 403)


# From the last pair ------------------------------------------------------------------------------------------------


def test_a_draft_begins_from_the_clients_last_pair(at_the_tablet: Client) -> None:
    patient = make_patient()
    make_signed_prescription(patient=patient, left={"insole": {"thickness_mm": "3.1"}}, heel_limit_mm=30)
    asked = {"work": "new", "feet": "both", "construction": "sandal", "start": "last"}
    at_the_tablet.post(reverse("prescription-new", args=[patient.uuid]), asked)
    begun = patient.prescriptions.get(status="draft")
    insole = foot_of(begun, "left").one("insole", Insole)
    of_the_last = (str(begun.heel_limit_mm), insole and str(insole.thickness_mm))
    assert (begun.work, begun.construction, of_the_last) == ("new", "cemented", ("30.0", "3.1"))


def test_where_there_is_no_last_pair_none_is_offered(at_the_tablet: Client) -> None:
    page = at_the_tablet.get(reverse("prescription-new", args=[make_patient().uuid])).content.decode()
    assert 'value="last"' not in page


# Orders from elsewhere ---------------------------------------------------------------------------------------------


def ordered(**fields: Any) -> Prescription:
    said: dict[str, Any] = {
        "outside_author": "Dr Odo Outside",
        "outside_profession": "physician",
        "ordered_on": date(2026, 11, 12),
    }
    taker = make_person(name="Tessa Taker", roles=["clinician"])
    return make_prescription(taken_over_by=taker, **{**said, **fields})


def attach(client: Client, draft: Prescription, content: bytes, name: str = "letter.pdf") -> Any:
    sent = {"paper": SimpleUploadedFile(name, content), "kind": "letter", "title": "Letter"}
    return client.post(reverse("order-document-add", args=[draft.uuid]), sent)


def test_who_writes_an_order_down_has_taken_it_over(at_the_tablet: Client, clinician: Person) -> None:
    draft = make_prescription()
    address = reverse("prescription", args=[draft.uuid])
    page = filled_in(at_the_tablet.get(address).content.decode())
    at_the_tablet.post(address, page | {"pair-outside_author": "Dr Odo Outside"})
    assert queries.whole(draft.uuid).taken_over_by == clinician


def test_who_writes_on_an_order_that_was_taken_over_does_not_take_it_over(at_the_tablet: Client) -> None:
    draft = ordered()
    address = reverse("prescription", args=[draft.uuid])
    at_the_tablet.post(address, filled_in(at_the_tablet.get(address).content.decode()))
    assert str(queries.whole(draft.uuid).taken_over_by) == str(draft.taken_over_by)


def test_another_person_takes_an_order_over(at_the_tablet: Client, clinician: Person) -> None:
    draft = ordered()
    at_the_tablet.post(reverse("order-take-over", args=[draft.uuid]))
    assert queries.whole(draft.uuid).taken_over_by == clinician


def test_an_order_says_its_day_and_the_profession_before_it_is_signed() -> None:
    draft = ordered(ordered_on=None, outside_profession="")
    missing = [what for what in completeness.missing(draft) if "order" in what]
    assert missing == ["The profession of the prescriber who ordered it.", "The day on which it was ordered."]


def test_a_letter_that_is_attached_is_given_out_as_it_came(at_the_tablet: Client) -> None:
    draft = ordered()
    attach(at_the_tablet, draft, A_PDF)
    answer = at_the_tablet.get(reverse("order-document", args=[OrderDocument.objects.get().uuid]))
    assert (answer.content, answer["Content-Type"], answer["Content-Disposition"]) == (
        A_PDF,
        "application/pdf",
        'attachment; filename="order.pdf"',
    )


def test_a_maker_is_given_no_letter(at_the_tablet: Client, maker: Person, signed_in: SignIn) -> None:
    attach(at_the_tablet, ordered(), A_PDF)
    address = reverse("order-document", args=[OrderDocument.objects.get().uuid])
    assert signed_in(maker).get(address).status_code == 403


def test_a_picture_is_kept_without_what_the_camera_wrote_into_it() -> None:
    picture, out = Image.new("RGB", (40, 30), "white"), BytesIO()
    exif = Image.Exif()
    exif[0x010E] = "where it was taken"
    picture.save(out, "PNG", exif=exif)
    kept = kept_document(out.getvalue())
    assert (kept.content_type, b"where it was taken" in kept.content) == ("image/jpeg", False)


@pytest.mark.parametrize(
    "content", [b"", b"MZ no document", b"<svg onload='x'/>", A_PDF.replace(b"%%EOF", b"")], ids=repr
)
def test_what_is_no_whole_document_is_not_kept(content: bytes) -> None:
    with pytest.raises(BadDocument):
        kept_document(content)


def test_what_calls_itself_a_pdf_and_is_none_is_asked_for_again(at_the_tablet: Client) -> None:
    answer = attach(at_the_tablet, ordered(), b"not at all")
    assert (answer.status_code, OrderDocument.objects.count()) == (422, 0)


def test_nothing_is_attached_to_a_signed_version(at_the_tablet: Client) -> None:
    answer = attach(at_the_tablet, make_signed_prescription(), A_PDF)
    assert (answer.status_code, OrderDocument.objects.count()) == (409, 0)


def test_a_paper_is_taken_off_a_draft(at_the_tablet: Client) -> None:
    attach(at_the_tablet, ordered(), A_PDF)
    at_the_tablet.post(reverse("order-document-off", args=[OrderDocument.objects.get().uuid]))
    assert OrderDocument.objects.count() == 0


def test_a_new_version_is_the_same_order_with_its_papers(clinician: Person, now: datetime) -> None:
    draft = ordered()
    actions.keep_order_document(
        draft, kind="letter", title="Letter", document=KeptDocument(A_PDF, "application/pdf"), by=clinician, at=now
    )
    actions.withdraw_prescription(draft, by=clinician, at=now)
    follower = actions.write_new_version(draft, reason="Worn.", by=clinician, at=now)
    papers = [bytes(each.file) for each in follower.order_documents.all()]
    assert (follower.outside_author, papers) == ("Dr Odo Outside", [A_PDF])


def test_a_repeat_is_not_the_order_of_the_pair_before(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    draft = ordered(
        patient=patient,
        left_last=make_last(owner=patient, side="left"),
        right_last=make_last(owner=patient, side="right"),
    )
    signed = actions.sign_prescription(draft, seen_version=draft.version, by=clinician, at=now)
    assert actions.repeat_prescription(signed, by=clinician, at=now).outside_author == ""


def test_the_order_stands_where_the_draft_is_read_and_signed(at_the_tablet: Client) -> None:
    page = at_the_tablet.get(reverse("prescription-sign", args=[ordered().uuid])).content.decode()
    assert ("Dr Odo Outside, physician" in page, "Tessa Taker" in page) == (True, True)


def test_the_wear_in_that_is_planned_is_one_that_hand_over_knows() -> None:
    assert set(WEAR_IN) == set(TABLES)
