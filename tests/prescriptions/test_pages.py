"""The pages of a prescription as people meet them: without JavaScript, LEFT at left, nothing lost."""

import re
from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from cases.prescriptions import actions, queries
from cases.prescriptions.described import describe, differences_in_words
from cases.prescriptions.models import Prescription
from shared.sides import Side
from tests.factories.figures import load_figures
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_allergy, make_finding, make_patient
from tests.factories.prescriptions import make_prescription, make_signed_prescription
from tests.factories.staff import make_person
from tests.prescriptions.drafts import a_draft_that_is_asked_about, address, complete_draft, lines, page_of, words_of
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


EVERY_KIND = {
    "reliefs": [{"place": "heel", "width_mm": 34, "height_mm": 26, "way": "cut out"}],
    "soft_zones": [{"place": "lateral ankle", "softness": "padded"}],
    "toe_prop": {"toes": "2-4", "material": "soft silicone", "height_mm": 6},
    "cushions": [{"place": "forepart", "material": "foam", "thickness_mm": 4}],
    "metatarsal_supports": [{"kind": "dome", "behind_joint_line_mm": 5, "height_mm": 6}],
    "shank": {"material": "steel", "width_mm": 15, "thickness_mm": "1.2", "front_end_behind_joint_mm": 12},
    "carbon_zone": {"plies": 5, "ends_before_toe_mm": 12, "overlap_on_shank_mm": 30},
    "rocker": {"apex_percent": 55, "angle_deg": 15, "curved": False},
    "height_raise": {"in_shoe_heel_mm": 8},
    "wedges": [{"place": "heel", "edge": "medial", "height_mm": 4}],
    "flares": [{"edge": "lateral", "width_mm": 5}],
}


def test_a_page_saved_as_it_stands_changes_nothing_prescribed(at_the_tablet: Client) -> None:
    draft = make_prescription(left=EVERY_KIND)
    at_the_tablet.post(address(draft), page_of(at_the_tablet, draft))
    saved = queries.whole(draft.uuid)
    assert (saved.version, differences_in_words(draft, saved)) == (2, ())


def lasts_offered(page: str) -> list[str]:
    (select,) = re.findall(r'<select name="left-last-last".*?</select>', page, re.DOTALL)
    return re.findall(r"<option[^>]*>([^<]*)</option>", select)


def test_a_last_that_is_not_to_be_used_is_offered_to_no_foot_but_the_one_that_names_it(at_the_tablet: Client) -> None:
    patient = make_patient()
    cracked = make_last(owner=patient, number="11", side="left", not_used_because="cracked")
    make_last(owner=patient, number="12", side="left", place="rack 3")
    named, other = (make_prescription(patient=patient, left_last=last) for last in (cracked, None))
    pages = [at_the_tablet.get(address(draft)).content.decode() for draft in (named, other)]
    assert [lasts_offered(page) for page in pages] == [
        ["—", "11 LEFT, not to be used: cracked", "12 LEFT, rack 3"],
        ["—", "12 LEFT, rack 3"],
    ]


def test_what_is_filled_in_is_there(at_the_tablet: Client) -> None:
    draft = make_prescription()
    page = page_of(at_the_tablet, draft) | {
        "left-wedge-heel-edge": "medial",
        "left-wedge-heel-height_mm": "4",
        "right-relief-0-place": "back of the heel",
        "right-relief-0-width_mm": "34",
        "right-relief-0-height_mm": "26",
        "right-relief-0-way": "cut out",
    }
    at_the_tablet.post(address(draft), page)
    found = (
        lines(draft, "left", "wedge_heel"),
        lines(draft, "right", "wedge_heel"),
        lines(draft, "right", "stiffener")["relief, back of the heel"],
    )
    assert found == ({"edge": "medial", "height at the edge": "4 mm"}, {}, "34 × 26 mm, cut out")


def test_what_is_emptied_is_gone(at_the_tablet: Client) -> None:
    draft = make_prescription(left={"rocker": {"apex_percent": 55, "angle_deg": 15}})
    page = page_of(at_the_tablet, draft)
    emptied = {name: "" for name in page if name.startswith("left-rocker-")}
    at_the_tablet.post(address(draft), page | emptied)
    assert lines(draft, "left", "rocker") == {}


def test_a_part_half_said_is_asked_for_and_what_was_typed_is_kept(at_the_tablet: Client) -> None:
    draft = make_prescription()
    answer = at_the_tablet.post(address(draft), page_of(at_the_tablet, draft) | {"left-rocker-angle_deg": "17"})
    kept = filled_in(answer.content.decode())["left-rocker-angle_deg"]
    asked = "LEFT, Rocker, apex, of the sole from the heel (%)" in words_of(answer.content)
    assert (answer.status_code, kept, asked) == (422, "17", True)


def test_left_is_copied_to_right_with_medial_staying_medial(at_the_tablet: Client) -> None:
    draft = make_prescription(
        left={"stiffener": {"medial_reach": "long", "medial_reach_mm": 180}}, right={"rocker": None, **EVERY_KIND}
    )
    at_the_tablet.post(address(draft), page_of(at_the_tablet, draft) | {"then": "copy-left"})
    left, right = describe(queries.whole(draft.uuid))
    assert right.parts == left.parts


def test_two_clinicians_saving_one_draft_are_both_shown_and_nothing_is_lost(at_the_tablet: Client) -> None:
    draft = make_prescription()
    mine = page_of(at_the_tablet, draft) | {"left-heel-height_mm": "18"}
    at_the_tablet.post(address(draft), mine | {"left-heel-height_mm": "25"})
    answer = at_the_tablet.post(address(draft), mine)
    shown = re.search(
        r"<th scope=\"row\">LEFT, Heel, height \(mm\)</th><td>(.*?)</td><td>(.*?)</td>", answer.content.decode()
    )
    kept = filled_in(answer.content.decode())["left-heel-height_mm"]
    assert shown is not None
    assert (answer.status_code, shown.groups(), kept) == (409, ("25", "18"), "18")


def test_sent_once_more_after_both_were_shown_the_second_ones_entries_are_saved(at_the_tablet: Client) -> None:
    draft = make_prescription()
    mine = page_of(at_the_tablet, draft) | {"left-heel-height_mm": "18"}
    at_the_tablet.post(address(draft), mine | {"left-heel-height_mm": "25"})
    again = filled_in(at_the_tablet.post(address(draft), mine).content.decode())
    at_the_tablet.post(address(draft), again)
    assert lines(draft, "left", "heel")["height"] == "18 mm"


def test_a_chosen_reach_is_worked_out_from_the_measures_of_its_own_side(at_the_tablet: Client) -> None:
    patient = make_patient()
    measures = make_measure_set(patient=patient, left={"heel_to_joint": 200, "heel_to_fifth": 180})
    draft = make_prescription(patient=patient, measure_set=measures)
    page = page_of(at_the_tablet, draft) | {
        "left-stiffener-medial_reach": "long",
        "left-stiffener-medial_reach_mm": "",
        "left-stiffener-lateral_reach": "short",
    }
    at_the_tablet.post(address(draft), page)
    stiffener = lines(draft, "left", "stiffener")
    assert (stiffener["medial reach"], stiffener["lateral reach"]) == ("long, 199 mm", "short, 90 mm")


def test_a_reach_typed_by_the_clinician_stands(at_the_tablet: Client) -> None:
    patient = make_patient()
    measures = make_measure_set(patient=patient, left={"heel_to_joint": 200, "heel_to_fifth": 180})
    draft = make_prescription(patient=patient, measure_set=measures)
    page = page_of(at_the_tablet, draft) | {
        "left-stiffener-medial_reach": "long",
        "left-stiffener-medial_reach_mm": "171",
    }
    at_the_tablet.post(address(draft), page)
    assert lines(draft, "left", "stiffener")["medial reach"] == "long, 171 mm"


def test_short_on_both_sides_is_worked_out_from_the_lateral_arc(at_the_tablet: Client) -> None:
    patient = make_patient()
    measures = make_measure_set(patient=patient, left={"heel_to_joint": 200, "heel_to_fifth": 180})
    draft = make_prescription(patient=patient, measure_set=measures)
    page = page_of(at_the_tablet, draft) | {
        "left-stiffener-medial_reach": "short",
        "left-stiffener-lateral_reach": "short",
    }
    at_the_tablet.post(address(draft), page)
    stiffener = lines(draft, "left", "stiffener")
    assert (stiffener["medial reach"], stiffener["lateral reach"]) == ("short, 90 mm", "short, 90 mm")


def test_a_new_scoured_zone_lies_where_the_workshop_scours(at_the_tablet: Client) -> None:
    draft = make_prescription()
    page = page_of(at_the_tablet, draft) | {"left-scoured-scoured_to_mm": "0.5"}
    at_the_tablet.post(address(draft), page)
    assert lines(draft, "left", "scoured_zone") == {
        "thickness left": "0.5 mm",
        "begins": "12 mm behind the joint line",
        "ends": "15 mm before the toe",
        "rim left": "11 mm",
    }


def test_what_is_said_of_a_new_scoured_zone_stands(at_the_tablet: Client) -> None:
    draft = make_prescription()
    page = page_of(at_the_tablet, draft) | {
        "left-scoured-scoured_to_mm": "0.5",
        "left-scoured-scoured_behind_joint_mm": "20",
    }
    at_the_tablet.post(address(draft), page)
    assert lines(draft, "left", "scoured_zone")["begins"] == "20 mm behind the joint line"


def test_what_is_emptied_of_a_scoured_zone_that_was_there_stays_empty(at_the_tablet: Client) -> None:
    draft = make_prescription(left={"insole": {"scoured_to_mm": "0.5", "scoured_rim_mm": 11}})
    page = page_of(at_the_tablet, draft) | {"left-scoured-scoured_rim_mm": ""}
    at_the_tablet.post(address(draft), page)
    assert lines(draft, "left", "scoured_zone") == {"thickness left": "0.5 mm"}


def test_what_differs_from_left_to_right_is_said_in_words(at_the_tablet: Client) -> None:
    draft = make_prescription(left={"heel": {"height_mm": 18}})
    html = words_of(at_the_tablet.get(address(draft)).content)
    assert "Heel LEFT and RIGHT differ : height (mm) LEFT height 18 mm" in html


def test_work_on_one_shoe_says_so_on_the_other_side(at_the_tablet: Client) -> None:
    draft = make_prescription(feet="right")
    page = at_the_tablet.get(address(draft)).content.decode()
    halves = re.findall(r'<fieldset class="foot (left|right)">(.*?)</fieldset>', page, flags=re.DOTALL)
    without_work = {side for side, half in halves if "no work on this shoe" in half}
    assert without_work == {"left"}


def test_left_stands_before_right_on_every_page(at_the_tablet: Client) -> None:
    pages = [at_the_tablet.get(address(each)) for each in (make_prescription(), make_signed_prescription())]
    order = [re.findall(r'class="foot (left|right)"', page.content.decode()) for page in pages]
    assert all(sides == ["left", "right"] * (len(sides) // 2) and sides for sides in order)


@pytest.mark.parametrize("name", ["prescription", "prescription-sign"])
def test_what_was_found_and_what_may_not_touch_the_foot_stand_beside_what_is_prescribed(
    at_the_tablet: Client, name: str
) -> None:
    draft = complete_draft()
    make_finding(draft.patient, side=Side.RIGHT, condition="metatarsalgia", place="2nd metatarsal head")
    make_allergy(draft.patient, substance="chrome-tanned leather")
    said = words_of(at_the_tablet.get(address(draft, name)).content)
    begins = said.index("What was found")
    found = said[begins : said.index("chrome-tanned leather", begins)]
    order = ["LEFT", "Nothing recorded.", "RIGHT", "Metatarsalgia , 2nd metatarsal head"]
    assert sorted(order, key=found.index) == order


# Drawn, worked out, asked ----------------------------------------------------------------------------------


def drawings_on(html: bytes) -> list[str]:
    """The feet whose shoes are drawn on a page, in its order."""
    return re.findall(r"<title>(LEFT|RIGHT) shoe cut open</title>", html.decode())


@pytest.mark.parametrize("name", ["prescription", "prescription-sign"])
def test_a_draft_is_drawn_on_the_page_itself(at_the_tablet: Client, name: str) -> None:
    assert drawings_on(at_the_tablet.get(address(complete_draft(), name)).content) == ["LEFT", "RIGHT"]


def test_what_a_draft_implies_and_what_is_asked_of_it_stand_on_the_page_itself(at_the_tablet: Client) -> None:
    said = words_of(at_the_tablet.get(address(a_draft_that_is_asked_about())).content)
    assert ("Weight" in said, "Changed above, or kept because" in said) == (True, True)


def test_a_page_that_cannot_be_saved_shows_the_drawing_of_what_was_saved(at_the_tablet: Client) -> None:
    draft = make_prescription(left={"heel": {"height_mm": 31}})
    answer = at_the_tablet.post(address(draft), page_of(at_the_tablet, draft) | {"left-rocker-angle_deg": "17"})
    assert (answer.status_code, drawings_on(answer.content)) == (422, ["LEFT", "RIGHT"])


def next_version(clinician: Person, now: datetime, **parts: Any) -> Prescription:
    draft = actions.write_new_version(make_signed_prescription(), reason="The back rubs.", by=clinician, at=now)
    return actions.save_draft(draft, seen_version=1, parts=parts, by=clinician, at=now)


def test_a_foot_that_changed_is_drawn_as_it_was_and_as_it_is_and_the_other_once(
    at_the_tablet: Client, clinician: Person, now: datetime
) -> None:
    draft = next_version(clinician, now, right={"heel": {"height_mm": 25}})
    page = at_the_tablet.get(address(draft, "prescription-sign"))
    assert drawings_on(page.content) == ["LEFT", "RIGHT", "RIGHT"]


def test_of_two_drawings_of_a_foot_the_later_alone_is_marked(
    at_the_tablet: Client, clinician: Person, now: datetime
) -> None:
    draft = next_version(clinician, now, right={"heel": {"height_mm": 25}})
    page = at_the_tablet.get(address(draft, "prescription-sign")).content.decode()
    _, *figures = page.split("<figure")
    assert ["and a heavy line: changed" in figure for figure in figures] == [False, False, True]


def test_a_foot_that_did_not_change_says_so(at_the_tablet: Client, clinician: Person, now: datetime) -> None:
    draft = next_version(clinician, now, right={"heel": {"height_mm": 25}})
    said = words_of(at_the_tablet.get(address(draft, "prescription-sign")).content)
    assert ("LEFT: nothing prescribed is different" in said, "RIGHT: nothing" in said) == (True, False)


# Who ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("role", "status"), [("maker", 200), ("manager", 200), ("reception", 403)])
def test_makers_and_managers_read_and_reception_does_not(signed_in: SignIn, role: str, status: int) -> None:
    client = signed_in(make_person(roles=[role]))
    assert client.get(address(make_signed_prescription())).status_code == status


@pytest.mark.parametrize("role", ["maker", "manager", "reception", "administrator"])
@pytest.mark.parametrize(
    "name", ["prescription", "prescription-sign", "prescription-new-version", "prescription-withdraw"]
)
def test_nobody_but_a_clinician_writes(signed_in: SignIn, role: str, name: str) -> None:
    draft = make_prescription()
    client = signed_in(make_person(roles=[role]))
    answer = client.post(address(draft, name), {"seen_version": 1, "reason": "because"})
    assert (answer.status_code, queries.whole(draft.uuid).version) == (403, 1)


def test_the_caution_stands_on_every_page(at_the_tablet: Client) -> None:
    draft, signed = complete_draft(), make_signed_prescription()
    pages = [address(draft), address(draft, "prescription-sign"), address(signed)]
    cautioned = ["is not certified protection" in words_of(at_the_tablet.get(page).content) for page in pages]
    assert cautioned == [True, True, True]


def test_a_draft_is_begun_with_the_parts_of_an_ordinary_shoe(at_the_tablet: Client) -> None:
    patient = make_patient()
    begin = reverse("prescription-new", args=[patient.uuid])
    page = filled_in(at_the_tablet.get(begin).content.decode())
    at_the_tablet.post(begin, page | {"construction": "moccasin"})
    draft = Prescription.objects.get(patient=patient)
    assert (lines(draft, "right", "toe_puff"), lines(draft, "right", "stiffener")["thickness"]) == (
        {"kind": "none"},
        "2.8 mm",
    )
