"""A draft is kept at every change: what can be saved is, what cannot waits, and nobody writes over anybody unknowingly."""

import re
import uuid
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from cases.prescriptions import actions, queries
from cases.prescriptions.described import describe, differences_in_words
from cases.prescriptions.models import DraftPresence, Prescription
from tests.factories.figures import load_figures
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription, make_signed_prescription
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


def page_of(client: Client, draft: Prescription) -> dict[str, Any]:
    return filled_in(client.get(reverse("prescription", args=[draft.uuid])).content.decode())


def kept(client: Client, draft: Prescription, page: dict[str, Any]) -> Any:
    return client.post(reverse("prescription-keep", args=[draft.uuid]), page)


def part_sent(page: dict[str, Any], *prefixes: str) -> dict[str, Any]:
    """Of a page the fields that begin so, with what goes along always."""
    return {name: value for name, value in page.items() if name.startswith(("seen_version", "unanswered", *prefixes))}


def lines(draft: Prescription, side: str, part: str) -> dict[str, str]:
    foot = next(foot for foot in describe(queries.whole(draft.uuid)) if foot.side == side)
    found = foot.part(part)
    return dict(found.lines) if found else {}


def state_shown(answer: Any) -> int:
    found = re.search(r'data-version="(\d+)"', answer.content.decode())
    assert found is not None
    return int(found[1])


def test_a_draft_kept_twenty_times_holds_what_was_typed_last(at_the_tablet: Client) -> None:
    draft = make_prescription()
    page = page_of(at_the_tablet, draft)
    for height in range(11, 31):
        page["left-heel-height_mm"] = str(height)
        page["seen_version"] = str(state_shown(kept(at_the_tablet, draft, page)))
    assert (queries.whole(draft.uuid).version, lines(draft, "left", "heel")["height"]) == (21, "30 mm")


def test_what_does_not_change_costs_no_query(
    at_the_tablet: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    """One figure of one foot changes, and only its part is sent: that row is written, of some thirty on the page."""
    draft = make_prescription(both={"heel": {"height_mm": 22}})
    changed = part_sent(page_of(at_the_tablet, draft), "left-heel-") | {"left-heel-height_mm": "25"}
    # Session, person, roles. Submission: begun, claimed, answered, ended. Version. Saving: two savepoints, lock, deed with
    # its words to the database before and after, version counted up and read, heel, two releases.
    with django_assert_num_queries(19):
        kept(at_the_tablet, draft, changed | {"changed": "left:heel"})


def test_of_what_was_not_sent_nothing_changes(at_the_tablet: Client) -> None:
    draft = make_prescription(both={"rocker": {"apex_percent": 55, "angle_deg": 15}})
    page = part_sent(page_of(at_the_tablet, draft), "left-heel-") | {"left-heel-height_mm": "25"}
    before = queries.whole(draft.uuid)
    kept(at_the_tablet, draft, page | {"changed": "left:heel"})
    changes = differences_in_words(before, queries.whole(draft.uuid))
    assert [(each.side, each.part) for each in changes] == [("left", "heel")]


def test_a_part_that_was_sent_empty_goes(at_the_tablet: Client) -> None:
    draft = make_prescription(both={"rocker": {"apex_percent": 55, "angle_deg": 15}})
    page = part_sent(page_of(at_the_tablet, draft)) | {"left-rocker-apex_percent": "", "left-rocker-angle_deg": ""}
    kept(at_the_tablet, draft, page | {"changed": "left:rocker"})
    assert [lines(draft, side, "rocker") != {} for side in ("left", "right")] == [False, True]


def test_what_is_said_of_the_pair_is_sent_alone_too(at_the_tablet: Client) -> None:
    draft = make_prescription()
    page = part_sent(page_of(at_the_tablet, draft), "pair-") | {"pair-purpose": "walking"}
    kept(at_the_tablet, draft, page | {"changed": "pair"})
    assert queries.whole(draft.uuid).purpose == "walking"


def test_the_line_of_a_block_is_said_of_both_feet_though_one_was_sent(at_the_tablet: Client) -> None:
    draft = make_prescription(both={"heel": {"height_mm": 22}})
    page = part_sent(page_of(at_the_tablet, draft), "left-heel-") | {"left-heel-height_mm": "25"}
    answer = kept(at_the_tablet, draft, page | {"changed": "left:heel"}).content.decode()
    said = re.findall(r"<b>(LEFT|RIGHT)</b> height (\d+ mm)", answer)
    assert (re.findall(r'id="line-(.*?)"', answer), said) == (["heel"], [("LEFT", "25 mm"), ("RIGHT", "22 mm")])


@pytest.mark.parametrize("words", ["left:wings", "heel", "middle:heel"])
def test_what_is_no_part_of_a_foot_is_refused(words: str, at_the_tablet: Client) -> None:
    draft = make_prescription()
    answer = kept(at_the_tablet, draft, page_of(at_the_tablet, draft) | {"changed": words})
    assert (answer.status_code, queries.whole(draft.uuid).version) == (409, 1)


def saved_by_two(client: Client, *, touched: str | None) -> tuple[list[str], dict[str, Any]]:
    """I write LEFT 25 on a page on which somebody saved RIGHT 31 meanwhile: what clashes, and what my page then shows."""
    draft = make_prescription(both={"heel": {"height_mm": 22}})
    page = page_of(client, draft)
    by = make_person(name="Iris Invented", roles=["clinician"])
    theirs = {"right": {"heel": {"height_mm": 31}}}
    actions.save_draft(draft, seen_version=1, parts=theirs, by=by, at=draft.written_at)
    mine = page | {"left-heel-height_mm": "25"} | ({} if touched is None else {"touched": touched})
    answer = client.post(reverse("prescription", args=[draft.uuid]), mine).content.decode()
    return re.findall(r'<th scope="row">((?:LEFT|RIGHT), .*?)</th>', answer), filled_in(answer)


def test_what_somebody_else_saved_and_nobody_wrote_on_here_is_theirs(at_the_tablet: Client) -> None:
    clashes, page = saved_by_two(at_the_tablet, touched="left:heel")
    heights = (page["left-heel-height_mm"], page["right-heel-height_mm"])
    assert (clashes, heights) == (["LEFT, Heel, height (mm)"], ("25", "31"))


def test_a_page_that_cannot_say_what_was_written_on_shows_all_that_differs(at_the_tablet: Client) -> None:
    clashes, page = saved_by_two(at_the_tablet, touched=None)
    heights = (page["left-heel-height_mm"], page["right-heel-height_mm"])
    assert (clashes, heights) == (["LEFT, Heel, height (mm)", "RIGHT, Heel, height (mm)"], ("25", "22"))


def test_what_stands_beside_is_worked_out_of_what_is_saved(at_the_tablet: Client) -> None:
    draft = make_prescription(both={"heel": {"height_mm": 22}})
    page = part_sent(page_of(at_the_tablet, draft), "left-heel-") | {"left-heel-height_mm": "26"}
    kept(at_the_tablet, draft, page | {"changed": "left:heel"})
    panel = at_the_tablet.get(reverse("prescription-panel", args=[draft.uuid])).content.decode()
    regions = re.findall(r'id="(region-\w+)"', panel)
    assert (regions, "heel 26" in panel) == (
        ["region-drawing", "region-implied", "region-all", "region-notes"],
        True,
    )


@pytest.mark.parametrize(("asked", "tables"), [("", 1), ("?all=1", 4)])
def test_what_a_page_has_folded_away_is_shown_where_it_asks(asked: str, tables: int, at_the_tablet: Client) -> None:
    address = reverse("prescription-panel", args=[make_prescription().uuid])
    panel = at_the_tablet.get(address + asked).content.decode()
    assert panel.count('<table class="table implied">') == tables


def test_beside_a_signed_version_nothing_is_worked_out_anew(at_the_tablet: Client) -> None:
    answer = at_the_tablet.get(reverse("prescription-panel", args=[make_signed_prescription().uuid]))
    assert answer.status_code == 409


def test_what_cannot_be_waits_and_the_rest_is_saved(at_the_tablet: Client) -> None:
    draft = make_prescription(right={"heel": {"height_mm": 22}})
    page = page_of(at_the_tablet, draft) | {"left-heel-height_mm": "18", "right-heel-height_mm": "-4"}
    kept(at_the_tablet, draft, page)
    assert [lines(draft, side, "heel")["height"] for side in ("left", "right")] == ["18 mm", "22 mm"]


def test_why_a_part_waits_is_said_beside_it(at_the_tablet: Client) -> None:
    draft = make_prescription()
    answer = kept(at_the_tablet, draft, page_of(at_the_tablet, draft) | {"left-rocker-angle_deg": "17"})
    beside = re.findall(r'data-beside="(.*?)">(.*?)<', answer.content.decode())
    assert beside == [("id_left-rocker-apex_percent", "Not saved: Say this too, or empty everything of this part.")]


def test_a_part_that_waits_keeps_what_was_saved_of_it(at_the_tablet: Client) -> None:
    draft = make_prescription(left={"rocker": {"apex_percent": 55, "angle_deg": 15}})
    kept(at_the_tablet, draft, page_of(at_the_tablet, draft) | {"left-rocker-angle_deg": "170"})
    assert lines(draft, "left", "rocker")["angle"] == "15°"


def test_a_figure_of_the_pair_that_cannot_be_waits_alone(at_the_tablet: Client) -> None:
    draft = make_prescription()
    page = page_of(at_the_tablet, draft) | {"pair-review_months": "99", "pair-purpose": "walking"}
    kept(at_the_tablet, draft, page)
    saved = queries.whole(draft.uuid)
    assert (saved.purpose, saved.review_months) == ("walking", None)


def test_a_reach_that_was_worked_out_is_given_to_the_page(at_the_tablet: Client) -> None:
    patient = make_patient()
    measures = make_measure_set(patient=patient, left={"heel_to_joint": 200, "heel_to_fifth": 180})
    draft = make_prescription(patient=patient, measure_set=measures)
    page = page_of(at_the_tablet, draft) | {"left-stiffener-medial_reach": "long"}
    answer = kept(at_the_tablet, draft, page).content.decode()
    given = dict(re.findall(r'data-field="(.*?)" value="(.*?)"', answer))
    assert given == {"left-stiffener-medial_reach_mm": "199"}


def test_who_comes_second_is_refused_and_loses_nothing_saved(at_the_tablet: Client) -> None:
    draft = make_prescription()
    mine = page_of(at_the_tablet, draft)
    kept(at_the_tablet, draft, mine | {"left-heel-height_mm": "25"})
    answer = kept(at_the_tablet, draft, mine | {"left-heel-height_mm": "18"})
    assert (answer.status_code, lines(draft, "left", "heel")["height"]) == (409, "25 mm")


def test_a_page_that_did_not_hear_that_it_was_saved_is_not_stale(at_the_tablet: Client) -> None:
    draft = make_prescription()
    page = page_of(at_the_tablet, draft)
    number = str(uuid.uuid4())
    kept(at_the_tablet, draft, page | {"left-heel-height_mm": "25", "submission": number})
    answer = kept(at_the_tablet, draft, page | {"left-heel-height_mm": "26", "unanswered": number})
    assert (answer.status_code, lines(draft, "left", "heel")["height"]) == (200, "26 mm")


def test_what_another_person_saved_counts_as_unheard_for_nobody(at_the_tablet: Client, signed_in: SignIn) -> None:
    draft = make_prescription()
    page = page_of(at_the_tablet, draft)
    number = str(uuid.uuid4())
    colleague = signed_in(make_person(name="Iris Invented", roles=["clinician"]))
    kept(colleague, draft, page | {"left-heel-height_mm": "25", "submission": number})
    assert kept(at_the_tablet, draft, page | {"unanswered": number}).status_code == 409


def test_two_people_in_one_draft_are_told_of_each_other(at_the_tablet: Client, signed_in: SignIn) -> None:
    draft = make_prescription()
    opens = reverse("prescription-open", args=[draft.uuid])
    signed_in(make_person(name="Iris Invented", roles=["clinician"])).post(opens)
    assert "Iris Invented has this draft open" in at_the_tablet.post(opens).content.decode()


def test_who_is_alone_in_a_draft_is_told_of_nobody(at_the_tablet: Client) -> None:
    draft = make_prescription()
    opens = reverse("prescription-open", args=[draft.uuid])
    at_the_tablet.post(opens)
    assert "this draft open" not in at_the_tablet.post(opens).content.decode()


def test_who_closed_a_draft_is_soon_forgotten(clinician: Person, now: datetime) -> None:
    draft = make_prescription()
    actions.be_present(draft, by=make_person(name="Iris Invented", roles=["clinician"]), at=now)
    later = now + timedelta(seconds=76)
    assert actions.be_present(draft, by=clinician, at=later) == []


def present(draft: Prescription) -> int:
    return DraftPresence.objects.filter(prescription_uuid=draft.uuid).count()


def test_nobody_is_in_a_draft_that_was_withdrawn(clinician: Person, now: datetime) -> None:
    draft = make_prescription()
    actions.be_present(draft, by=clinician, at=now)
    actions.withdraw_prescription(draft, by=clinician, at=now)
    assert present(draft) == 0


def test_nobody_is_in_a_draft_that_was_signed(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    left, right = (make_last(owner=patient, side=side) for side in ("left", "right"))
    draft = make_prescription(patient=patient, left_last=left, right_last=right)
    actions.be_present(draft, by=clinician, at=now)
    actions.sign_prescription(draft, seen_version=draft.version, by=clinician, at=now)
    assert present(draft) == 0


def test_who_was_in_another_draft_a_day_ago_goes_at_the_next_word(clinician: Person, now: datetime) -> None:
    before, draft = make_prescription(), make_prescription()
    actions.be_present(before, by=clinician, at=now - timedelta(days=1, seconds=1))
    actions.be_present(draft, by=clinician, at=now)
    assert (present(before), present(draft)) == (0, 1)


def test_a_signed_version_is_not_kept_over(at_the_tablet: Client) -> None:
    signed = make_signed_prescription()
    assert kept(at_the_tablet, signed, {"seen_version": "1"}).status_code == 409
