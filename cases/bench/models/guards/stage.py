"""A stage: born unticked, ticked by the rules, taken back with a reason, retired only by re-planning."""

import pgtrigger

from cases.bench.models.guards.sql import LOCK_PAIR, TYPED_REASON_GIVEN, UNSETTLED_DIFFERENCES
from shared.guards import Guard, refuse

_PLANNED = (
    'pair_id, {row}.kind_id, {row}.side, {row}.round, {row}."order", {row}.covers, {row}.held_by_differences, '
    "{row}.minutes, {row}.hours_after"
)
_PLANNED_OLD = "OLD." + _PLANNED.format(row="OLD")
_PLANNED_NEW = "NEW." + _PLANNED.format(row="NEW")


def stage_moves_by_its_rules() -> Guard:
    """Guards every way in which a stage's row may change."""
    return Guard(
        name="stage_moves_by_its_rules",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=[
            ("pair_state", "text"),
            ("pair_feet", "text"),
            ("version_id", "bigint"),
            ("version_status", "text"),
            ("covered", "text"),
        ],
        func=f"""
            IF TG_OP = 'DELETE' THEN
                {refuse("a_stage_is_retired_not_deleted", "A stage is retired, not deleted.")}
            END IF;
            IF TG_OP = 'INSERT' THEN
                {_planned()}
                RETURN NEW;
            END IF;
            {_stays_as_planned()}
            {_moves()}
            RETURN NEW;
        """,
    )


def _planned() -> str:
    """A new stage: of an open pair, of a foot that the pair has, from the version that the pair is built to."""
    return f"""
        IF NEW.ticked_at IS NOT NULL OR NEW.begun_at IS NOT NULL OR NEW.retired_at IS NOT NULL THEN
            {refuse("a_stage_begins_unticked", "A stage begins unticked.")}
        END IF;
        SELECT state, feet, working_to_id INTO pair_state, pair_feet, version_id
          FROM bench_pair WHERE id = NEW.pair_id FOR SHARE;
        IF pair_state <> 'open' THEN
            {refuse("only_an_open_pair_is_worked_on", "This pair is no longer on the bench.")}
        END IF;
        IF pair_feet NOT IN ('both', NEW.side) THEN
            {refuse("a_stage_is_of_a_foot_of_its_pair", "This pair has no shoe for that foot.")}
        END IF;
        IF NEW.asked_by_id IS DISTINCT FROM version_id THEN
            {refuse("a_stage_is_planned_from_the_pairs_version", "A stage follows the version of its pair.")}
        END IF;
    """


def _stays_as_planned() -> str:
    return f"""
        IF ({_PLANNED_NEW}) IS DISTINCT FROM ({_PLANNED_OLD}) THEN
            {refuse("a_stage_stays_as_planned", "A stage stays as it was planned, with its pair and its foot.")}
        END IF;
        IF OLD.retired_at IS NOT NULL
           AND (to_jsonb(NEW) - 'checks_version') <> (to_jsonb(OLD) - 'checks_version') THEN
            {refuse("a_retired_stage_rests", "This stage is no longer asked for.")}
        END IF;
    """


def _moves() -> str:
    """What a change of the row means, and what each is allowed by."""
    return f"""
        IF OLD.retired_at IS NULL AND NEW.retired_at IS NOT NULL THEN
            {_retire()}
        END IF;
        IF NEW.asked_by_id IS DISTINCT FROM OLD.asked_by_id THEN
            {LOCK_PAIR}
            IF NEW.asked_by_id IS DISTINCT FROM version_id THEN
                {refuse("a_stage_is_planned_from_the_pairs_version", "A stage follows the version of its pair.")}
            END IF;
        END IF;
        IF OLD.begun_at IS NOT NULL AND NEW.begun_at IS DISTINCT FROM OLD.begun_at THEN
            {LOCK_PAIR}
            {_nothing_leans_on_it()}
        END IF;
        IF OLD.ticked_at IS NULL AND NEW.ticked_at IS NOT NULL THEN
            {_open_to_work()}
            {_checks_made()}
        ELSIF OLD.ticked_at IS NOT NULL AND NEW.ticked_at IS NULL THEN
            {_take_back()}
        ELSIF OLD.begun_at IS NULL AND NEW.begun_at IS NOT NULL AND NEW.ticked_at IS NULL THEN
            {_open_to_work()}
            IF cardinality(NEW.covers) > 0 THEN
                {_checks_made()}
            END IF;
        ELSIF OLD.ticked_at IS NOT NULL AND (
            NEW.ticked_at <> OLD.ticked_at OR NEW.ticked_by_id <> OLD.ticked_by_id
        ) THEN
            {refuse("a_tick_is_taken_back_not_changed", "A tick is taken back, not changed.")}
        END IF;
    """


def _retire() -> str:
    """What the present version asks for is not dropped: only another version, or a new round in its place, retires."""
    return f"""
        {LOCK_PAIR}
        IF NEW.asked_by_id IS NOT DISTINCT FROM version_id AND NOT EXISTS (
            SELECT 1 FROM bench_stage again
             WHERE again.pair_id = NEW.pair_id AND again.kind_id = NEW.kind_id AND again.side = NEW.side
               AND again.round > NEW.round AND again.retired_at IS NULL AND again.covers @> NEW.covers
               AND NOT EXISTS (
                    SELECT 1 FROM bench_coverrequirement asked
                     WHERE asked.stage_id = NEW.id AND NOT EXISTS (
                        SELECT 1 FROM bench_coverrequirement anew
                         WHERE anew.stage_id = again.id AND anew.part = asked.part AND anew.moment = asked.moment
                     )
               )
        ) THEN
            {refuse("a_stage_asked_for_is_not_dropped", "The prescription still asks for this stage.")}
        END IF;
    """


def _open_to_work() -> str:
    return f"""
        {LOCK_PAIR}
        IF pair_state <> 'open' THEN
            {refuse("only_an_open_pair_is_worked_on", "This pair is no longer on the bench.")}
        END IF;
        IF NEW.retired_at IS NOT NULL THEN
            {refuse("a_retired_stage_rests", "This stage is no longer asked for.")}
        END IF;
        IF version_id IS NOT NULL THEN
            SELECT status INTO version_status FROM prescriptions_prescription WHERE id = version_id FOR SHARE;
            IF version_status <> 'signed' THEN
                {refuse("bench_works_to_the_signed_version", "There is a newer version of the prescription.")}
            END IF;
        END IF;
        IF NEW.asked_by_id IS DISTINCT FROM version_id THEN
            {refuse("a_stage_is_planned_from_the_pairs_version", "A stage follows the version of its pair.")}
        END IF;
        IF EXISTS (
            SELECT 1 FROM bench_stageafter edge JOIN bench_stage needed ON needed.id = edge.needs_id
             WHERE edge.stage_id = NEW.id AND needed.retired_at IS NULL AND needed.ticked_at IS NULL
               AND NOT (edge.started_is_enough AND needed.begun_at IS NOT NULL)
        ) THEN
            {refuse("stages_are_ticked_in_order", "A stage that comes before this one is not done.")}
        END IF;
    """


def _checks_made() -> str:
    """The cover gate. A covering stage that has begun counts as closing, so it passes this before it begins."""
    return f"""
        FOREACH covered IN ARRAY NEW.covers LOOP
            IF NOT EXISTS (
                SELECT 1 FROM bench_coverrequirement
                 WHERE stage_id = NEW.id AND part = covered AND moment = 'placed'
            ) THEN
                {refuse("a_covering_stage_asks_for_its_checks", "This stage covers a part without asking for its check.")}
            END IF;
        END LOOP;
        IF EXISTS (
            SELECT 1 FROM bench_coverrequirement asked
             WHERE asked.stage_id = NEW.id AND NOT EXISTS (
                SELECT 1 FROM bench_covercheck made
                  LEFT JOIN bench_difference differs ON differs.check_found_id = made.id
                 WHERE made.requirement_id = asked.id AND made.withdrawn_at IS NULL
                   AND (made.outcome = 'as prescribed'
                        OR differs.state = 'accepted'
                        OR (differs.state = 'open' AND asked.moment <> 'part'))
             )
        ) THEN
            {refuse("a_part_is_checked_before_it_is_covered", "A check of this foot is not recorded or not settled.")}
        END IF;
        IF EXISTS (
            {UNSETTLED_DIFFERENCES.format(pair="NEW.pair_id")}
               AND differs.side = NEW.side AND differs.part = ANY (NEW.covers) AND differs.stage_id <> NEW.id
        ) THEN
            {refuse("a_difference_is_settled_before_it_is_covered", "A difference of this part waits for an answer.")}
        END IF;
        IF NEW.held_by_differences AND EXISTS (
            {UNSETTLED_DIFFERENCES.format(pair="NEW.pair_id")}
        ) THEN
            {refuse("differences_are_settled_before_the_sole", "A difference of this pair waits for an answer.")}
        END IF;
    """


def _nothing_leans_on_it() -> str:
    return f"""
        IF EXISTS (
            SELECT 1 FROM bench_stageafter edge JOIN bench_stage later ON later.id = edge.stage_id
             WHERE edge.needs_id = NEW.id AND later.retired_at IS NULL AND later.ticked_at IS NOT NULL
               AND NOT (NEW.ticked_at IS NOT NULL OR (edge.started_is_enough AND NEW.begun_at IS NOT NULL))
        ) THEN
            {refuse("later_ticks_are_taken_back_first", "A stage that comes after this one is already ticked.")}
        END IF;
    """


def _take_back() -> str:
    return f"""
        {LOCK_PAIR}
        IF pair_state <> 'open' THEN
            {refuse("only_an_open_pair_is_worked_on", "This pair is no longer on the bench.")}
        END IF;
        {_nothing_leans_on_it()}
        IF NOT {TYPED_REASON_GIVEN} THEN
            {refuse("a_tick_is_taken_back_with_a_reason", "A tick is taken back with a reason.")}
        END IF;
    """


def edge_stays_on_one_foot() -> Guard:
    """An edge joins two stages of one foot of one pair, and stays drawn; a retired stage lets go of its edges."""
    return Guard(
        name="edge_stays_on_one_foot",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        func=f"""
            IF TG_OP <> 'INSERT' THEN
                {refuse("an_edge_stays_drawn", "The order of the stages of a pair is not rewritten.")}
            END IF;
            IF NOT EXISTS (
                SELECT 1 FROM bench_stage later JOIN bench_stage earlier
                    ON earlier.pair_id = later.pair_id AND earlier.side = later.side
                 WHERE later.id = NEW.stage_id AND earlier.id = NEW.needs_id
            ) THEN
                {refuse("an_edge_stays_on_one_foot", "A stage waits only for stages of its own pair and foot.")}
            END IF;
            RETURN NEW;
        """,
    )
