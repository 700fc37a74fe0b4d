"""What the database refuses of an adjusted pattern, whoever asks."""

import pgtrigger

from shared.guards import Guard, refuse


def adjustment_is_made_once() -> Guard:
    """An adjustment is of its pair, foot and version, follows the one before it, and is taken back at most once."""
    return Guard(
        name="adjustment_is_made_once",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=[("taking_back", "text[] := ARRAY['taken_back_at', 'taken_back_by_id']")],
        func=f"""
            IF TG_OP = 'INSERT' THEN
                {_made()}
                RETURN NEW;
            END IF;
            IF TG_OP = 'DELETE' OR OLD.taken_back_at IS NOT NULL
               OR (to_jsonb(NEW) - taking_back) <> (to_jsonb(OLD) - taking_back) THEN
                {refuse("an_adjustment_stays_on_record", "An adjustment is taken back, not changed or deleted.")}
            END IF;
            RETURN NEW;
        """,
    )


def _made() -> str:
    return f"""
        IF NEW.taken_back_at IS NOT NULL THEN
            {refuse("an_adjustment_begins_standing", "An adjustment begins standing.")}
        END IF;
        IF NOT EXISTS (
            SELECT 1 FROM bench_pair
             WHERE id = NEW.pair_id AND working_to_id = NEW.version_id AND feet IN ('both', NEW.side)
        ) THEN
            {refuse("an_adjustment_is_of_its_own_pair", "This pair is not built to that version, or has no such shoe.")}
        END IF;
        IF NEW.follows_id IS NOT NULL AND NOT EXISTS (
            SELECT 1 FROM patterns_patternadjustment before
             WHERE before.id = NEW.follows_id AND before.pair_id = NEW.pair_id AND before.side = NEW.side
               AND before.piece = NEW.piece AND before.what = NEW.what
        ) THEN
            {refuse("an_adjustment_follows_its_own_kind", "An adjustment follows one of the same point or figure.")}
        END IF;
        IF NEW.difference_id IS NOT NULL AND NOT EXISTS (
            SELECT 1 FROM bench_difference
             WHERE id = NEW.difference_id AND pair_id = NEW.pair_id AND side = NEW.side AND part = NEW.part
               AND source = 'pattern'
        ) THEN
            {refuse("an_adjustment_has_its_own_difference", "This difference is of another pair, foot or part.")}
        END IF;
    """


def template_is_ended_once() -> Guard:
    """An own template is for a foot of its pair, and is ended, never changed or deleted."""
    return Guard(
        name="template_is_ended_once",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=[("ending", "text[] := ARRAY['ended_at', 'ended_by_id']")],
        func=f"""
            IF TG_OP = 'INSERT' THEN
                IF NOT EXISTS (SELECT 1 FROM bench_pair WHERE id = NEW.pair_id AND feet IN ('both', NEW.side)) THEN
                    {refuse("a_template_is_of_a_foot_of_its_pair", "This pair has no shoe for that foot.")}
                END IF;
                RETURN NEW;
            END IF;
            IF TG_OP = 'DELETE' OR OLD.ended_at IS NOT NULL
               OR (to_jsonb(NEW) - ending) <> (to_jsonb(OLD) - ending) THEN
                {refuse("a_template_stays_on_record", "A template is ended, not changed or deleted.")}
            END IF;
            RETURN NEW;
        """,
    )
