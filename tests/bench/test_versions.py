"""The bench works to a named version: a newer one stops it, is taken up, and marks what is made otherwise."""

from datetime import datetime
from typing import Any

import pytest

from cases.bench import actions, queries
from cases.bench.models import CoverRequirement, Difference, DifferenceSource, DifferenceState, Pair, Stage
from cases.prescriptions.models import Prescription
from shared.models import Deed
from shared.refusals import Refused
from tests.factories import bench as factory
from tests.factories.base import setting_up
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription, signed
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


def sign_next_version(pair: Pair, **prescribed: Any) -> Prescription:
    """Version 2, with these parts otherwise, signed."""
    old = pair.working_to
    assert old is not None
    draft = make_prescription(
        patient=old.patient,
        written_by=old.written_by,
        number=old.number,
        version_no=old.version_no + 1,
        supersedes=old,
        reason="found otherwise at the fitting",
        **prescribed,
    )
    with setting_up():
        Prescription.objects.filter(pk=old.pk).update(status="superseded")
    return signed(draft)


LONGER = {"stiffener": {"medial_reach": "long", "medial_reach_mm": 180}}


def take_up(pair: Pair, by: Person, at: datetime, **prescribed: Any) -> Pair:
    sign_next_version(pair, **prescribed)
    actions.take_up_version(pair, by=by, at=at)
    return Pair.objects.get(pk=pair.pk)


def reach_asked(pair: Pair, moment: str = "placed", side: str = "left") -> str:
    return str(dict(factory.requirement(pair, "stiffener", moment, side).prescribed)["medial reach"])


def test_a_pair_on_an_older_version_is_listed(pair: Pair) -> None:
    sign_next_version(pair, left=LONGER)
    assert list(queries.pairs_on_an_older_version()) == [pair]


def test_nothing_is_ticked_until_the_new_version_is_taken_up(pair: Pair, maker: Person, now: datetime) -> None:
    sign_next_version(pair, left=LONGER)
    with pytest.raises(Refused, match="newer version"):
        actions.tick_stages(pair, stages=factory.stages(pair, "gather"), by=maker, at=now)


def test_nothing_is_checked_until_the_new_version_is_taken_up(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    sign_next_version(pair, left=LONGER)
    with pytest.raises(Refused, match="newer version"):
        actions.record_check(factory.requirement(pair, "stiffener", "part"), outcome="as prescribed", by=maker, at=now)


def test_work_on_a_withdrawn_prescription_stops(pair: Pair, maker: Person, now: datetime) -> None:
    assert pair.working_to is not None
    with setting_up():
        Prescription.objects.filter(pk=pair.working_to.pk).update(status="withdrawn")
    with pytest.raises(Refused, match="was withdrawn"):
        actions.tick_stages(pair, stages=factory.stages(pair, "gather"), by=maker, at=now)


def test_stages_that_nobody_began_ask_for_the_new_values(pair: Pair, maker: Person, now: datetime) -> None:
    pair = take_up(pair, maker, now, left=LONGER)
    assert {moment: reach_asked(pair, moment) for moment in ("part", "placed", "shell")} == dict.fromkeys(
        ("part", "placed", "shell"), "long, 180 mm"
    )


def test_the_other_foot_keeps_its_stages_and_values(pair: Pair, maker: Person, now: datetime) -> None:
    pair = take_up(pair, maker, now, left=LONGER)
    assert (factory.stage(pair, "last-backs", "right").round, reach_asked(pair, side="right")) == (
        1,
        "medium, 130 mm",
    )


def test_nothing_begun_means_no_difference(pair: Pair, maker: Person, now: datetime) -> None:
    take_up(pair, maker, now, left=LONGER)
    assert Difference.objects.count() == 0


def test_every_live_stage_answers_to_the_new_version(pair: Pair, maker: Person, now: datetime) -> None:
    pair = take_up(pair, maker, now, left=LONGER)
    live = Stage.objects.filter(pair=pair, retired_at__isnull=True)
    assert set(live.values_list("asked_by__version_no", flat=True)) == {2}


def test_a_new_part_brings_its_stage_into_the_route(pair: Pair, maker: Person, now: datetime) -> None:
    carbon = {"carbon_zone": {"plies": 5, "ends_before_toe_mm": 12, "overlap_on_shank_mm": 30}}
    pair = take_up(pair, maker, now, right=carbon)
    sides = Stage.objects.filter(pair=pair, kind__key="carbon", retired_at__isnull=True).values_list("side", flat=True)
    assert list(sides) == ["right"]
    assert "carbon" in factory.stage(pair, "filler", "right").covers


def test_a_part_that_is_left_out_takes_its_checks_with_it(maker: Person, now: datetime) -> None:
    cushion = {"cushions": [{"place": "heel", "material": "soft", "thickness_mm": 4}]}
    pair = take_up(factory.make_pair(by=maker, at=now, both=cushion), maker, now)
    live = CoverRequirement.objects.filter(stage__pair=pair, stage__retired_at__isnull=True, part="cushion_heel")
    assert (live.count(), Stage.objects.filter(pair=pair, kind__key="top-of-insole", retired_at=None).count()) == (0, 0)


def test_the_deed_says_in_words_what_changed(pair: Pair, maker: Person, now: datetime) -> None:
    take_up(pair, maker, now, left=LONGER)
    says = Deed.objects.get(pair_uuid=pair.uuid, action="take_up_version").says
    assert says.endswith("LEFT Stiffener: medial reach long, 180 mm (was medium, 130 mm).")


def test_what_is_covered_otherwise_becomes_a_difference_of_that_foot(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-linings", by=maker, at=now)
    take_up(pair, maker, now, left=LONGER)
    difference = Difference.objects.get()
    assert (difference.side, difference.part, difference.source, difference.stage.kind.key) == (
        "left",
        "stiffener",
        DifferenceSource.NEW_VERSION,
        "last-backs",
    )
    assert difference.found.startswith("Version 2 asks for: medial reach long, 180 mm;")


def test_a_part_cut_but_not_yet_closed_in_is_not_covered_until_it_is_answered(
    pair: Pair, maker: Person, now: datetime
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    pair = take_up(pair, maker, now, left=LONGER)
    factory.check_everything(pair, "last-backs", by=maker, at=now)
    stages = factory.stages(pair, "last-backs", "left")
    with pytest.raises(Refused, match="what the new version changed waits for an answer"):
        actions.tick_stages(pair, stages=stages, by=maker, at=now)


def test_accepted_as_built_goes_on_with_the_values_that_were_built(
    pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    pair = take_up(pair, maker, now, left=LONGER)
    actions.settle_difference(
        Difference.objects.get(), state="accepted", because="no harm to the ankle", by=clinician, at=now
    )
    assert reach_asked(pair) == "medium, 130 mm"
    factory.bring_to_the_end(pair, by=maker, at=now)
    pair.refresh_from_db()
    assert pair.state == "finished"


def test_made_again_asks_for_the_new_values_on_every_stage_of_the_part(
    pair: Pair, maker: Person, now: datetime
) -> None:
    factory.bring_to(pair, "last-linings", by=maker, at=now)
    pair = take_up(pair, maker, now, left=LONGER)
    actions.settle_difference(Difference.objects.get(), state="undone", by=maker, at=now)
    assert {key: factory.stage(pair, key).round for key in ("cut-stiffeners", "last-backs")} == {
        "cut-stiffeners": 2,
        "last-backs": 2,
    }
    assert (reach_asked(pair, "part"), reach_asked(pair)) == ("long, 180 mm", "long, 180 mm")
    factory.bring_to_the_end(pair, by=maker, at=now)
    pair.refresh_from_db()
    assert pair.state == "finished"


def test_a_part_added_after_its_cover_is_a_difference_and_not_a_stage(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "sole", by=maker, at=now)
    bar = {"metatarsal_supports": [{"kind": "bar", "behind_joint_line_mm": 8, "height_mm": 6}]}
    pair = take_up(pair, maker, now, left=bar)
    difference = Difference.objects.get()
    assert (difference.part, difference.built, factory.stage(pair, "filler").round) == ("metatarsal_bar", None, 1)


def test_a_bar_made_again_opens_everything_that_stands_on_the_filler(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "trim-edges", by=maker, at=now)
    bar = {"metatarsal_supports": [{"kind": "bar", "behind_joint_line_mm": 8, "height_mm": 6}]}
    pair = take_up(pair, maker, now, left=bar)
    actions.settle_difference(Difference.objects.get(), state="undone", by=maker, at=now)
    rounds = {key: factory.stage(pair, key).round for key in ("trim-margin", "filler", "raise", "sole", "trim-edges")}
    assert rounds == {"trim-margin": 1, "filler": 2, "raise": 2, "sole": 2, "trim-edges": 1}
    assert "metatarsal_bar" in factory.stage(pair, "filler").covers


def test_a_version_is_taken_up_once(pair: Pair, maker: Person, now: datetime) -> None:
    take_up(pair, maker, now, left=LONGER)
    with pytest.raises(Refused, match="version 2 already"):
        actions.take_up_version(pair, by=maker, at=now)


def test_a_re_lasting_after_an_accepted_difference_builds_to_the_version(
    pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    factory.bring_to(pair, "rough-fitting", by=maker, at=now)
    pair = take_up(pair, maker, now, left=LONGER)
    actions.settle_difference(Difference.objects.get(), state="accepted", because="no harm", by=clinician, at=now)
    actions.come_again(pair, stage_kinds=actions.LAST_AGAIN, sides=["left"], by=clinician, at=now)
    assert reach_asked(pair) == "long, 180 mm"


def test_an_open_difference_is_settled_by_lasting_again(
    pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    factory.bring_to(pair, "rough-fitting", by=maker, at=now)
    pair = take_up(pair, maker, now, left=LONGER)
    actions.come_again(pair, stage_kinds=actions.LAST_AGAIN, sides=["left"], by=clinician, at=now)
    assert Difference.objects.get().state == DifferenceState.UNDONE


def test_a_repair_has_no_version_to_take_up(maker: Person, now: datetime) -> None:
    factory.load_starting_values()
    repair = actions.open_repair(
        make_patient(), description="heels", feet="both", promised_day=now.date(), by=maker, at=now
    )
    with pytest.raises(Refused, match="no prescription"):
        actions.take_up_version(repair, by=maker, at=now)


def test_a_withdrawn_prescription_leaves_nothing_to_take_up(pair: Pair, maker: Person, now: datetime) -> None:
    assert pair.working_to is not None
    with setting_up():
        Prescription.objects.filter(pk=pair.working_to.pk).update(status="withdrawn")
    with pytest.raises(Refused, match="no version to take up"):
        actions.take_up_version(pair, by=maker, at=now)


def test_a_version_for_other_feet_is_for_another_pair(pair: Pair, maker: Person, now: datetime) -> None:
    sign_next_version(pair, feet="left")
    with pytest.raises(Refused, match="other feet"):
        actions.take_up_version(pair, by=maker, at=now)


def test_another_construction_is_taken_up_before_the_insole_is_trimmed(
    pair: Pair, maker: Person, now: datetime
) -> None:
    pair = take_up(pair, maker, now, construction="hand-welted")
    assert factory.stage(pair, "welt").asked_by == pair.working_to


def test_another_construction_is_refused_once_the_insole_is_trimmed(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    sign_next_version(pair, construction="hand-welted")
    with pytest.raises(Refused, match="constructed another way"):
        actions.take_up_version(pair, by=maker, at=now)
