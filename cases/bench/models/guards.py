"""What the database itself refuses at the bench.

Each tick writes the pair's row, and each check writes its stage's row: both sides of every rule take the same lock,
so that two people cannot pass each other at any isolation level.
"""

import pgtrigger

from shared.guards import Guard, refuse

_TYPED_REASON_GIVEN = """
    EXISTS (
        SELECT 1 FROM shared_deed
         WHERE id = NULLIF(current_setting('pairwright.deed', true), '')::bigint
           AND transaction_id = pg_current_xact_id()::text::bigint
           AND reason_typed AND length(trim(reason)) > 2
    )
"""

_LOCK_PAIR = """
    UPDATE bench_pair SET bench_version = bench_version + 1 WHERE id = NEW.pair_id
    RETURNING state, working_to_id INTO pair_state, version_id;
"""


def _tick() -> str:
    return f"""
        {_LOCK_PAIR}
        IF pair_state <> 'open' THEN
            {refuse("only_an_open_pair_is_worked_on", "This pair is no longer on the bench.")}
        END IF;
        IF NEW.retired_at IS NOT NULL THEN
            {refuse("a_retired_stage_is_not_ticked", "This stage is no longer asked for.")}
        END IF;
        IF version_id IS NOT NULL THEN
            SELECT status INTO version_status FROM prescriptions_prescription WHERE id = version_id FOR SHARE;
            IF version_status <> 'signed' THEN
                {refuse("bench_works_to_the_signed_version", "There is a newer version of the prescription.")}
            END IF;
        END IF;
        IF EXISTS (
            SELECT 1 FROM bench_stageafter edge JOIN bench_stage needed ON needed.id = edge.needs_id
             WHERE edge.stage_id = NEW.id AND needed.retired_at IS NULL AND needed.ticked_at IS NULL
               AND NOT (edge.started_is_enough AND needed.begun_at IS NOT NULL)
        ) THEN
            {refuse("stages_are_ticked_in_order", "A stage that comes before this one is not done.")}
        END IF;
        {_cover_gate()}
        IF NEW.held_by_differences AND EXISTS (
            SELECT 1 FROM bench_difference
             WHERE pair_id = NEW.pair_id AND side = NEW.side AND state = 'open'
        ) THEN
            {refuse("differences_are_settled_before_the_sole", "A difference waits for a clinician.")}
        END IF;
    """


def _cover_gate() -> str:
    return f"""
        FOREACH covered IN ARRAY NEW.covers LOOP
            IF NOT EXISTS (
                SELECT 1 FROM bench_coverrequirement
                 WHERE stage_id = NEW.id AND part = covered AND moment = 'placed' AND retired_at IS NULL
            ) THEN
                {refuse("a_covering_stage_asks_for_its_checks", "This stage covers a part without asking for its check.")}
            END IF;
        END LOOP;
        IF EXISTS (
            SELECT 1 FROM bench_coverrequirement asked
             WHERE asked.stage_id = NEW.id AND asked.retired_at IS NULL AND NOT EXISTS (
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
    """


def _take_back() -> str:
    return f"""
        {_LOCK_PAIR}
        IF pair_state <> 'open' THEN
            {refuse("only_an_open_pair_is_worked_on", "This pair is no longer on the bench.")}
        END IF;
        IF EXISTS (
            SELECT 1 FROM bench_stageafter edge JOIN bench_stage later ON later.id = edge.stage_id
             WHERE edge.needs_id = NEW.id AND later.retired_at IS NULL AND later.ticked_at IS NOT NULL
               AND NOT (edge.started_is_enough AND NEW.begun_at IS NOT NULL)
        ) THEN
            {refuse("later_ticks_are_taken_back_first", "A stage that comes after this one is already ticked.")}
        END IF;
        IF NOT {_TYPED_REASON_GIVEN} THEN
            {refuse("a_tick_is_taken_back_with_a_reason", "A tick is taken back with a reason.")}
        END IF;
    """


def stage_is_ticked_in_order() -> Guard:
    """Guards every way a stage's row may change: born unticked, ticked by the rules, taken back with a reason."""
    return Guard(
        name="stage_is_ticked_in_order",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=[
            ("pair_state", "text"),
            ("version_id", "bigint"),
            ("version_status", "text"),
            ("covered", "text"),
        ],
        func=f"""
            IF TG_OP = 'INSERT' THEN
                IF NEW.ticked_at IS NOT NULL THEN
                    {refuse("a_stage_begins_unticked", "A stage begins unticked.")}
                END IF;
                RETURN NEW;
            END IF;
            IF TG_OP = 'DELETE' THEN
                {refuse("a_stage_is_retired_not_deleted", "A stage is retired, not deleted.")}
            END IF;
            IF (NEW.pair_id, NEW.kind_id, NEW.side, NEW.round) <> (OLD.pair_id, OLD.kind_id, OLD.side, OLD.round) THEN
                {refuse("a_stage_stays_where_it_is", "A stage stays with its pair and its foot.")}
            END IF;
            IF OLD.ticked_at IS NULL AND NEW.ticked_at IS NOT NULL THEN
                {_tick()}
            ELSIF OLD.ticked_at IS NOT NULL AND NEW.ticked_at IS NULL THEN
                {_take_back()}
            ELSIF OLD.ticked_at IS NOT NULL AND (
                NEW.ticked_at <> OLD.ticked_at OR NEW.ticked_by_id <> OLD.ticked_by_id
                OR NEW.covers <> OLD.covers OR NEW.held_by_differences <> OLD.held_by_differences
            ) THEN
                {refuse("a_tick_is_taken_back_not_changed", "A tick is taken back, not changed.")}
            END IF;
            RETURN NEW;
        """,
    )


def requirement_locks_its_stage() -> Guard:
    """A check is asked for before its stage is ticked, on the stage's own side; later it can only be retired."""
    return Guard(
        name="requirement_locks_its_stage",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update,
        declare=[("stage_ticked_at", "timestamptz"), ("stage_side", "text")],
        func=f"""
            IF TG_OP = 'UPDATE' AND (to_jsonb(NEW) - 'retired_at') <> (to_jsonb(OLD) - 'retired_at') THEN
                {refuse("a_required_check_is_retired_not_changed", "A check that was asked for is retired, not changed.")}
            END IF;
            IF TG_OP = 'UPDATE' AND OLD.retired_at IS NOT NULL THEN
                {refuse("a_required_check_is_retired_not_changed", "A check that was asked for is retired, not changed.")}
            END IF;
            UPDATE bench_stage SET checks_version = checks_version + 1 WHERE id = NEW.stage_id
            RETURNING ticked_at, side INTO stage_ticked_at, stage_side;
            IF stage_ticked_at IS NOT NULL THEN
                {refuse("a_ticked_stage_asks_for_nothing_new", "This stage is already ticked.")}
            END IF;
            IF stage_side <> NEW.side THEN
                {refuse("a_check_is_of_its_own_foot", "This check belongs to the other foot.")}
            END IF;
            RETURN NEW;
        """,
    )


def check_locks_its_stage() -> Guard:
    """A check is recorded and withdrawn only while its stage is not ticked, and is never rewritten."""
    return Guard(
        name="check_locks_its_stage",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=[("stage_ticked_at", "timestamptz")],
        func=f"""
            IF TG_OP = 'DELETE' THEN
                {refuse("a_check_is_withdrawn_not_deleted", "A check is withdrawn, not deleted.")}
            END IF;
            IF TG_OP = 'UPDATE' AND (
                (to_jsonb(NEW) - 'withdrawn_at') <> (to_jsonb(OLD) - 'withdrawn_at') OR OLD.withdrawn_at IS NOT NULL
            ) THEN
                {refuse("a_check_is_withdrawn_not_changed", "A check is withdrawn and made again, not changed.")}
            END IF;
            UPDATE bench_stage SET checks_version = checks_version + 1
             WHERE id = (SELECT stage_id FROM bench_coverrequirement WHERE id = NEW.requirement_id)
            RETURNING ticked_at INTO stage_ticked_at;
            IF stage_ticked_at IS NOT NULL THEN
                {refuse("a_check_comes_before_the_cover", "The part is already covered.")}
            END IF;
            IF TG_OP = 'INSERT' AND EXISTS (
                SELECT 1 FROM bench_coverrequirement WHERE id = NEW.requirement_id AND retired_at IS NOT NULL
            ) THEN
                {refuse("a_retired_check_is_not_made", "This check is no longer asked for.")}
            END IF;
            RETURN NEW;
        """,
    )


def difference_is_settled_by_a_prescriber() -> Guard:
    """A difference is raised open, settled once, and accepted only by a person who may prescribe."""
    return Guard(
        name="difference_is_settled_once",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=[("settling", "text[] := ARRAY['state', 'settled_by_id', 'settled_at', 'settled_because']")],
        func=f"""
            IF TG_OP = 'DELETE' THEN
                {refuse("a_difference_is_settled_not_deleted", "A difference is settled, not deleted.")}
            END IF;
            UPDATE bench_pair SET bench_version = bench_version + 1 WHERE id = NEW.pair_id;
            IF TG_OP = 'INSERT' THEN
                IF NEW.state <> 'open' THEN
                    {refuse("a_difference_begins_open", "A difference begins open.")}
                END IF;
                IF NEW.check_found_id IS NOT NULL AND NOT EXISTS (
                    SELECT 1 FROM bench_covercheck made
                      JOIN bench_coverrequirement asked ON asked.id = made.requirement_id
                      JOIN bench_stage at_stage ON at_stage.id = asked.stage_id
                     WHERE made.id = NEW.check_found_id AND asked.side = NEW.side AND at_stage.pair_id = NEW.pair_id
                ) THEN
                    {refuse("a_difference_is_of_its_own_foot", "This difference was found on another foot or pair.")}
                END IF;
                RETURN NEW;
            END IF;
            IF OLD.state <> 'open' OR (to_jsonb(NEW) - settling) <> (to_jsonb(OLD) - settling) THEN
                {refuse("a_difference_is_settled_once", "This difference was already settled.")}
            END IF;
            IF NEW.state = 'accepted' AND NOT EXISTS (
                SELECT 1 FROM staff_person
                 WHERE id = NEW.settled_by_id AND may_prescribe AND retired_on IS NULL
            ) THEN
                {refuse("only_a_prescriber_accepts_a_difference", "Only a person who may prescribe can accept a difference.")}
            END IF;
            RETURN NEW;
        """,
    )
