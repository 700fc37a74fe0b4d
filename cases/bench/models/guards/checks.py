"""Checks and differences: both sides of the cover gate write the stage's row, and so wait for each other."""

import pgtrigger

from cases.bench.models.guards.sql import TYPED_REASON_GIVEN
from shared.guards import Guard, refuse

_LOCK_STAGE = """
    UPDATE bench_stage SET checks_version = checks_version + 1 WHERE id = {stage}
    RETURNING side, retired_at IS NOT NULL,
              ticked_at IS NOT NULL OR (begun_at IS NOT NULL AND cardinality(covers) > 0)
      INTO stage_side, stage_retired, stage_closed;
"""
_DECLARED = [("stage_side", "text"), ("stage_retired", "boolean"), ("stage_closed", "boolean")]


def requirement_is_asked_once_and_for_all() -> Guard:
    """A check is asked for before its stage is ticked, on the stage's own foot, and then never changed or dropped.

    Another version of the prescription retires the whole stage and plans it again with the new values.
    """
    return Guard(
        name="requirement_is_asked_once_and_for_all",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=_DECLARED,
        func=f"""
            IF TG_OP <> 'INSERT' THEN
                {refuse("a_required_check_stays", "A check that was asked for is neither changed nor dropped.")}
            END IF;
            {_LOCK_STAGE.format(stage="NEW.stage_id")}
            IF stage_closed OR stage_retired THEN
                {refuse("a_ticked_stage_asks_for_nothing_new", "This stage is already ticked.")}
            END IF;
            IF stage_side <> NEW.side THEN
                {refuse("a_check_is_of_its_own_foot", "This check belongs to the other foot.")}
            END IF;
            RETURN NEW;
        """,
    )


def check_locks_its_stage() -> Guard:
    """A check is recorded and withdrawn only while its stage is not ticked, and is never rewritten.

    It brings every figure that it asks for: so the cover gate counts none without. A figure beyond its tolerance differs.
    """
    return Guard(
        name="check_locks_its_stage",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=_DECLARED,
        func=f"""
            IF TG_OP = 'DELETE' THEN
                {refuse("a_check_is_withdrawn_not_deleted", "A check is withdrawn, not deleted.")}
            END IF;
            IF TG_OP = 'UPDATE' AND (
                (to_jsonb(NEW) - 'withdrawn_at') <> (to_jsonb(OLD) - 'withdrawn_at') OR OLD.withdrawn_at IS NOT NULL
            ) THEN
                {refuse("a_check_is_withdrawn_not_changed", "A check is withdrawn and made again, not changed.")}
            END IF;
            {_LOCK_STAGE.format(stage="(SELECT stage_id FROM bench_coverrequirement WHERE id = NEW.requirement_id)")}
            IF TG_OP = 'INSERT' THEN
                {_measured()}
            END IF;
            IF stage_retired THEN
                {refuse("a_retired_check_is_not_made", "This check is no longer asked for.")}
            END IF;
            IF stage_closed THEN
                {refuse("a_check_comes_before_the_cover", "The part is already covered.")}
            END IF;
            RETURN NEW;
        """,
    )


def _measured() -> str:
    asked = """
        FROM bench_coverrequirement asked, jsonb_array_elements(asked.measured) figure
       WHERE asked.id = NEW.requirement_id
    """
    keyed = "NEW.measured ->> (figure ->> 'label')"
    return f"""
        IF EXISTS (
            SELECT 1 {asked} AND COALESCE({keyed}, '') !~ '^[0-9]{{1,3}}([.][0-9]+)?$'
        ) THEN
            {refuse("a_check_brings_its_figures", "What is to be measured at this check was not measured.")}
        END IF;
        IF NEW.outcome = 'as prescribed' AND EXISTS (
            SELECT 1 {asked}
               AND NOT ({keyed})::numeric BETWEEN (figure ->> 'least')::numeric AND (figure ->> 'most')::numeric
        ) THEN
            {refuse("what_is_beyond_its_tolerance_differs", "A figure is beyond its tolerance: it differs.")}
        END IF;
    """


def final_figure_comes_before_the_tick() -> Guard:
    """A figure of the final check belongs to that stage of its shoe, and is taken before the stage is ticked."""
    return Guard(
        name="final_figure_comes_before_the_tick",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert,
        declare=_DECLARED,
        func=f"""
            {_LOCK_STAGE.format(stage="NEW.stage_id")}
            IF stage_closed OR stage_retired THEN
                {refuse("a_final_figure_comes_before_the_tick", "The final check of this shoe is ticked already.")}
            END IF;
            IF NOT EXISTS (
                SELECT 1 FROM bench_stage looked JOIN bench_stagekind kind ON kind.id = looked.kind_id
                 WHERE looked.id = NEW.stage_id AND kind.key = 'final-check'
            ) THEN
                {refuse("a_final_figure_is_of_the_final_check", "This figure belongs to the final check.")}
            END IF;
            RETURN NEW;
        """,
    )


def photo_comes_before_the_cover() -> Guard:
    """A photo shows parts in position, each foot in its own place; once they are closed in there is nothing to show."""
    return Guard(
        name="photo_comes_before_the_cover",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert,
        declare=[*_DECLARED, ("shown", "record")],
        func=f"""
            FOR shown IN
                SELECT * FROM (VALUES ('left', NEW.left_id), ('right', NEW.right_id)) AS feet (side, stage)
                 WHERE stage IS NOT NULL ORDER BY stage
            LOOP
                {_LOCK_STAGE.format(stage="shown.stage")}
                IF stage_closed OR stage_retired THEN
                    {refuse("a_photo_comes_before_the_cover", "What it should show is closed in already.")}
                END IF;
                IF stage_side <> shown.side OR NOT EXISTS (
                    SELECT 1 FROM bench_coverrequirement WHERE stage_id = shown.stage AND moment = 'placed'
                ) THEN
                    {refuse("a_photo_shows_a_placed_part", "On this foot nothing is put in position at this stage.")}
                END IF;
            END LOOP;
            IF EXISTS (
                SELECT 1 FROM bench_stage one JOIN bench_stage other ON other.id = NEW.right_id
                 WHERE one.id = NEW.left_id AND (one.pair_id, one.kind_id) <> (other.pair_id, other.kind_id)
            ) THEN
                {refuse("a_photo_is_of_one_pair", "LEFT and RIGHT of a photo are of one pair and one stage.")}
            END IF;
            RETURN NEW;
        """,
    )


def difference_is_settled_once() -> Guard:
    """A difference is raised open, settled once, and accepted only by a person who may prescribe, with a reason."""
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
                {_raised()}
                RETURN NEW;
            END IF;
            IF OLD.state <> 'open' OR (to_jsonb(NEW) - settling) <> (to_jsonb(OLD) - settling) THEN
                {refuse("a_difference_is_settled_once", "This difference was already settled.")}
            END IF;
            IF NEW.state = 'accepted' AND NOT EXISTS (
                SELECT 1 FROM staff_person
                 WHERE id = NEW.settled_by_id AND may_prescribe AND retired_on IS NULL
            ) THEN
                {refuse("only_a_prescriber_accepts_a_difference", "Only a person who may prescribe can accept this.")}
            END IF;
            IF NEW.state = 'accepted' AND NOT {TYPED_REASON_GIVEN} THEN
                {refuse("a_difference_is_accepted_with_a_reason", "A difference is accepted with a reason.")}
            END IF;
            RETURN NEW;
        """,
    )


def _raised() -> str:
    return f"""
        IF NEW.state <> 'open' THEN
            {refuse("a_difference_begins_open", "A difference begins open.")}
        END IF;
        IF NOT EXISTS (
            SELECT 1 FROM bench_stage WHERE id = NEW.stage_id AND pair_id = NEW.pair_id AND side = NEW.side
        ) OR (NEW.check_found_id IS NOT NULL AND NOT EXISTS (
            SELECT 1 FROM bench_covercheck made
              JOIN bench_coverrequirement asked ON asked.id = made.requirement_id
             WHERE made.id = NEW.check_found_id AND asked.stage_id = NEW.stage_id AND asked.part = NEW.part
        )) THEN
            {refuse("a_difference_is_of_its_own_foot", "This difference was found on another foot, part or pair.")}
        END IF;
    """
