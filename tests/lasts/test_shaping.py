"""Targets, patches, the bottom against the cast, and deformities: what is kept and what is refused."""

from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest

from cases.lasts import actions, queries
from cases.lasts.models import BottomCheck, Last, LastDeformity, LastPatch, LastTarget, MeasureSet
from cases.patients.models import Finding
from shared.models import Deed
from shared.refusals import Refused
from shared.sides import Side
from tests.factories.figures import load_figures, make_figure
from tests.factories.lasts import make_cast, make_last, make_measure_set
from tests.factories.patients import make_finding, make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

FOOT = {"foot_length": 273, "joint_girth": 253, "instep_girth": 255, "short_heel_girth": 340}


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


def last_and_measures(**fields: Any) -> tuple[Last, MeasureSet]:
    owner = make_patient()
    last = make_last(owner=owner, **{"joint_girth_mm": Decimal(250), "instep_girth_mm": Decimal(262), **fields})
    return last, make_measure_set(patient=owner, both=FOOT)


def found_on(last: Last, *, condition: str, side: Side = Side.LEFT, **fields: Any) -> Finding:
    assert last.owner is not None
    return make_finding(last.owner, condition=condition, side=side, **fields)


def set_target(last: Last, measure_set: MeasureSet, by: Person, at: datetime, **chosen: Any) -> LastTarget:
    given = {"footwear_kind": "low", "hose": "normal", **chosen}
    return actions.set_last_target(last, measure_set=measure_set, **given, by=by, at=at)


def shape(last: Last) -> queries.Shaped:
    target = queries.latest_target(last)
    assert target is not None
    return queries.shape_of(last, target)


def targets_mm(last: Last) -> dict[str, float]:
    return {row.target.key: row.target.target_mm for row in shape(last).rows}


# Targets -----------------------------------------------------------------------------------------------------


def test_a_target_is_the_foot_the_hose_and_the_ease_of_its_footwear(maker: Person, now: datetime) -> None:
    last, measure_set = last_and_measures()
    set_target(last, measure_set, maker, now)
    assert targets_mm(last) == {"joint": 253 + 4, "instep": 255 + 4 - 2, "short_heel": 340 + 4 + 3}


def test_a_last_is_held_against_its_target_where_it_was_measured(maker: Person, now: datetime) -> None:
    last, measure_set = last_and_measures()
    set_target(last, measure_set, maker, now)
    found = shape(last)
    works = {work.key: (work.work, work.bench_mm) for work in found.alteration.stations}
    assert (works, found.alteration.not_compared) == (
        {"joint": ("build up", 2.0), "instep": ("take down", 1.5)},
        ("short_heel",),
    )


def test_the_latest_target_counts_and_the_earlier_one_is_kept(maker: Person, now: datetime) -> None:
    last, measure_set = last_and_measures()
    set_target(last, measure_set, maker, now)
    set_target(last, measure_set, maker, now, hose="none")
    assert (targets_mm(last)["joint"], LastTarget.objects.count()) == (253.0, 2)


def test_a_target_keeps_the_figures_of_its_day(maker: Person, now: datetime, tomorrow: datetime) -> None:
    last, measure_set = last_and_measures()
    set_target(last, measure_set, maker, now)
    make_figure("hose_normal_mm", "6", valid_from=tomorrow.date())
    before = targets_mm(last)["joint"]
    set_target(last, measure_set, maker, tomorrow)
    assert (before, targets_mm(last)["joint"]) == (257.0, 259.0)


@pytest.mark.parametrize(
    ("condition", "why"),
    [
        ("arterial_disease", "arterial disease"),
        ("loss_of_protective_sensation", "loss of sensation"),
        ("oedema", "swelling"),
    ],
)
def test_what_was_found_on_the_foot_forbids_negative_ease(
    maker: Person, now: datetime, condition: str, why: str
) -> None:
    last, measure_set = last_and_measures()
    found_on(last, condition=condition)
    set_target(last, measure_set, maker, now, footwear_kind="court")
    joint = shape(last).rows[0].target
    assert joint.addends[-1].words == f"ease: none taken, not −5 mm ({why})"


def test_what_was_found_on_the_other_foot_forbids_nothing_on_this_one(maker: Person, now: datetime) -> None:
    last, measure_set = last_and_measures()
    found_on(last, condition="arterial_disease", side=Side.RIGHT)
    set_target(last, measure_set, maker, now, footwear_kind="court")
    assert targets_mm(last)["joint"] == 253 + 4 - 5


def test_a_heel_unlike_that_of_the_measures_is_asked_about(maker: Person, now: datetime) -> None:
    last, measure_set = last_and_measures(heel_height_mm=Decimal(40))
    set_target(last, measure_set, maker, now)
    assert shape(last).asks == (
        "The foot was measured over a heel of 0 mm, the last is made for 40 mm: girths change with the heel.",
    )


def test_a_last_that_is_much_longer_than_the_foot_asks_for_is_asked_about(maker: Person, now: datetime) -> None:
    last, measure_set = last_and_measures(length_mm=Decimal(325), heel_height_mm=Decimal(5))
    set_target(last, measure_set, maker, now)
    assert shape(last).asks == ("The last is 40 mm longer than the foot asks for. Is that meant?",)


@pytest.mark.parametrize("condition", ["oedema", "hallux_valgus"], ids=["swollen", "deformed"])
def test_the_published_heel_girth_is_silent_about_an_irregular_foot(
    maker: Person, now: datetime, condition: str
) -> None:
    last, measure_set = last_and_measures()
    set_target(last, measure_set, maker, now)
    before = shape(last).heel_girth
    found_on(last, condition=condition)
    assert (before is None, shape(last).heel_girth) == (False, None)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"own_mm": {"joint": Decimal(3)}}, "Say in the note of the LEFT last why"),
        ({"own_mm": {"toe_depth": Decimal(3)}, "note": " "}, "Say in the note"),
        ({"own_mm": {"joint": Decimal(400)}, "note": "so"}, "own_mm joint is 400 mm"),
        ({"swelling_mm": Decimal(500)}, "swelling_mm is 500 mm"),
    ],
    ids=["no note", "blank note", "absurd", "swollen beyond belief"],
)
def test_a_target_that_makes_no_sense_is_refused(
    maker: Person, now: datetime, changes: dict[str, Any], said: str
) -> None:
    last, measure_set = last_and_measures()
    with pytest.raises(Refused, match=said):
        set_target(last, measure_set, maker, now, **changes)


def test_a_last_is_not_made_for_another_clients_foot(maker: Person, now: datetime) -> None:
    last, _ = last_and_measures()
    with pytest.raises(Refused, match="another client's measures"):
        set_target(last, make_measure_set(), maker, now)


def test_a_stock_last_has_no_target(maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="A stock last has none"):
        set_target(make_last(), make_measure_set(), maker, now)


def test_a_foot_of_which_no_girth_was_taken_has_no_target(maker: Person, now: datetime) -> None:
    owner = make_patient()
    measure_set = make_measure_set(patient=owner, both={"foot_length": 270})
    with pytest.raises(Refused, match="No girth of the LEFT foot was taken"):
        set_target(make_last(owner=owner), measure_set, maker, now)


def test_both_lasts_get_their_targets_in_one_deed(maker: Person, now: datetime) -> None:
    left, measure_set = last_and_measures(number="7")
    right = make_last(owner=left.owner, number="7", side="right")
    actions.set_last_targets(
        [actions.TargetFoot(left), actions.TargetFoot(right, swelling_mm=Decimal(6))],
        measure_set=measure_set,
        footwear_kind="ankle_boot",
        hose="thick",
        by=maker,
        at=now,
    )
    said = Deed.objects.get(action="set_last_target").says
    assert (said, targets_mm(right)["joint"] - targets_mm(left)["joint"]) == (
        "Set the target of last 7 LEFT and 7 RIGHT: ankle boot, hose thick.",
        6.0,
    )


# Patches -----------------------------------------------------------------------------------------------------


def plan(last: Last, by: Person, at: datetime, **fields: Any) -> LastPatch:
    given = {"work": "build up", "place": "medial, over the 1st joint", "height_mm": Decimal(4), **fields}
    return actions.plan_patch(last, **given, by=by, at=at)


def test_a_patch_is_planned_with_its_place_extent_height_edge_and_material(maker: Person, now: datetime) -> None:
    extent = {"length_mm": Decimal(45), "width_mm": Decimal(30), "feather_mm": Decimal(15)}
    patch = plan(make_last(), maker, now, station="joint", material="cork", **extent)
    patch.refresh_from_db()
    assert (patch.station, patch.height_mm, patch.length_mm, patch.width_mm, patch.feather_mm, patch.material) == (
        "joint",
        Decimal(4),
        Decimal(45),
        Decimal(30),
        Decimal(15),
        "cork",
    )


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"station": "knee"}, "no such station"),
        ({"place": "  "}, "Say where the patch lies"),
        ({"work": "take down", "material": "cork"}, "no material comes on it"),
    ],
    ids=["no station", "no place", "material taken down"],
)
def test_a_patch_that_makes_no_sense_is_refused(
    maker: Person, now: datetime, changes: dict[str, Any], said: str
) -> None:
    with pytest.raises(Refused, match=said):
        plan(make_last(), maker, now, **changes)


def test_a_planned_patch_is_given_up_and_stays_on_record(maker: Person, now: datetime) -> None:
    patch = plan(make_last(), maker, now)
    actions.drop_patch(patch, by=maker, at=now)
    patch.refresh_from_db()
    assert (patch.done_at, patch.removed_at) == (None, now)


def test_a_patch_given_up_twice_is_given_up_once(maker: Person, now: datetime, tomorrow: datetime) -> None:
    patch = plan(make_last(), maker, now)
    actions.drop_patch(patch, by=maker, at=now)
    actions.drop_patch(patch, by=maker, at=tomorrow)
    patch.refresh_from_db()
    assert patch.removed_at == now


def test_a_patch_that_is_on_the_last_is_not_given_up(maker: Person, now: datetime) -> None:
    last = make_last()
    patch = plan(last, maker, now)
    as_it_is = {name: getattr(last, name) for name in ("length_mm", "heel_height_mm", "toe_spring_mm", "toe_shape")}
    actions.alter_last(last, seen_version=1, alteration_note="", **as_it_is, patches_done=[patch], by=maker, at=now)
    with pytest.raises(Refused, match="Take it off with an alteration"):
        actions.drop_patch(patch, by=maker, at=now)


def test_a_patch_given_up_since_the_page_was_read_is_not_said_to_be_done(maker: Person, now: datetime) -> None:
    last = make_last()
    as_read = plan(last, maker, now)
    actions.drop_patch(as_read, by=maker, at=now)
    as_it_is = {name: getattr(last, name) for name in ("length_mm", "heel_height_mm", "toe_spring_mm", "toe_shape")}
    with pytest.raises(Refused, match="already taken off"):
        actions.alter_last(
            last, seen_version=1, alteration_note="", **as_it_is, patches_done=[as_read], by=maker, at=now
        )


# The bottom --------------------------------------------------------------------------------------------------


def last_from_a_cast() -> Last:
    cast = make_cast()
    return make_last(owner=cast.patient, cast=cast)


def look(last: Last, by: Person, at: datetime, *seen: actions.BottomSeen, seen_version: int = 1) -> list[BottomCheck]:
    return actions.check_bottom(last, seen=seen, by_gauge=False, seen_version=seen_version, by=by, at=at)


def test_the_latest_look_at_each_part_of_the_bottom_counts(maker: Person, now: datetime) -> None:
    last = last_from_a_cast()
    look(last, maker, now, actions.BottomSeen("heel seat", "fits"), actions.BottomSeen("arch", "gap", Decimal(3)))
    look(last, maker, now, actions.BottomSeen("arch", "fits"))
    assert [(each.part, each.verdict, each.off_by_mm) for each in queries.bottom_of(last)] == [
        ("arch", "fits", None),
        ("heel seat", "fits", None),
    ]


def test_the_story_tells_how_the_bottom_lay(maker: Person, now: datetime) -> None:
    look(last_from_a_cast(), maker, now, actions.BottomSeen("arch", "gap", Decimal(3)))
    assert Deed.objects.get(action="check_bottom").says.endswith("against the cast, by eye: arch height gap of 3 mm.")


@pytest.mark.parametrize(
    ("seen", "version", "said"),
    [
        ((), 1, "at least one part"),
        ((actions.BottomSeen("arch", "fits", Decimal(2)),), 1, "Arch height fits, or is off"),
        ((actions.BottomSeen("arch", "fits"),), 2, "altered since"),
    ],
    ids=["nothing", "fits and off", "another state"],
)
def test_a_look_that_makes_no_sense_is_refused(
    maker: Person, now: datetime, seen: tuple[actions.BottomSeen, ...], version: int, said: str
) -> None:
    with pytest.raises(Refused, match=said):
        look(last_from_a_cast(), maker, now, *seen, seen_version=version)


def test_a_last_without_a_cast_is_held_against_none(maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="No cast is named"):
        look(make_last(), maker, now, actions.BottomSeen("arch", "fits"))


# Deformities -------------------------------------------------------------------------------------------------


def last_with(condition: str = "hallux_valgus", *, flexibility: str = "fixed") -> tuple[Last, Finding]:
    last = make_last(owner=make_patient())
    finding = found_on(last, condition=condition, flexibility=flexibility)
    return last, finding


def handle(last: Last, finding: Finding, handled: str, by: Person, at: datetime, **more: Any) -> LastDeformity:
    return actions.handle_deformity(last, finding=finding, handled=handled, **more, by=by, at=at)


def test_a_last_makes_room_for_a_fixed_deformity(maker: Person, now: datetime) -> None:
    last, finding = last_with()
    handle(last, finding, "accommodated", maker, now)
    shown = queries.deformities(queries.live_findings_of_the_foot(last))
    assert [(each.condition, each.handled, each.handled_by) for each in shown] == [  # type: ignore[attr-defined]
        ("hallux_valgus", "accommodated", maker.name)
    ]


def test_to_correct_a_fixed_deformity_is_asked_about(maker: Person, now: datetime) -> None:
    last, finding = last_with()
    with pytest.raises(Refused, match="found to be fixed: a last makes room for it"):
        handle(last, finding, "corrected", maker, now)


def test_to_correct_a_fixed_deformity_takes_a_reason_besides_a_yes(maker: Person, now: datetime) -> None:
    last, finding = last_with()
    with pytest.raises(Refused, match="say why in the note"):
        handle(last, finding, "corrected", maker, now, although_fixed=True, note=" ")


def test_a_fixed_deformity_that_is_corrected_all_the_same_keeps_why(maker: Person, now: datetime) -> None:
    last, finding = last_with()
    kept = handle(last, finding, "corrected", maker, now, although_fixed=True, note="5° only, after trial")
    assert (kept.handled, kept.note) == ("corrected", "5° only, after trial")


def test_a_flexible_deformity_is_corrected_without_a_question(maker: Person, now: datetime) -> None:
    last, finding = last_with(flexibility="flexible")
    assert handle(last, finding, "corrected", maker, now).handled == "corrected"


def test_another_answer_about_a_deformity_takes_the_place_of_the_first(
    maker: Person, clinician: Person, now: datetime
) -> None:
    last, finding = last_with(flexibility="flexible")
    handle(last, finding, "corrected", maker, now)
    handle(last, finding, "accommodated", clinician, now)
    assert list(LastDeformity.objects.values_list("handled", "by")) == [("accommodated", clinician.pk)]


def test_a_deformity_of_the_other_foot_is_not_that_of_this_last(maker: Person, now: datetime) -> None:
    last, _ = last_with()
    other = found_on(last, condition="hammer_toe", side=Side.RIGHT)
    with pytest.raises(Refused, match="not found on the foot of this last"):
        handle(last, other, "accommodated", maker, now)


def test_a_callus_is_no_deformity_of_a_last(maker: Person, now: datetime) -> None:
    last, finding = last_with("callus", flexibility="")
    with pytest.raises(Refused, match="no deformity"):
        handle(last, finding, "accommodated", maker, now)


def test_a_last_that_waits_for_the_tape_is_held_against_its_target_once_it_is_measured(
    maker: Person, now: datetime
) -> None:
    last, measure_set = last_and_measures()
    set_target(last, measure_set, maker, now)
    as_it_is = {name: getattr(last, name) for name in ("length_mm", "heel_height_mm", "toe_spring_mm", "toe_shape")}
    actions.alter_last(last, seen_version=1, alteration_note="built up", **as_it_is, by=maker, at=now)
    before = shape(last).alteration.stations
    actions.measure_last(last, seen_version=2, measured={"joint_girth_mm": Decimal(257)}, by=maker, at=now)
    last.refresh_from_db()
    assert (before, [work.work for work in shape(last).alteration.stations]) == ((), ["leave", "take down"])
