"""Pieces of SQL that several guards of the bench are put together from."""

TYPED_REASON_GIVEN = """
    EXISTS (
        SELECT 1 FROM shared_deed
         WHERE id = NULLIF(current_setting('pairwright.deed', true), '')::bigint
           AND transaction_id = pg_current_xact_id()::text::bigint
           AND reason_typed AND length(trim(reason)) > 2
    )
"""
"""True where the deed under way carries a reason that a person typed."""

LOCK_PAIR = """
    UPDATE bench_pair SET bench_version = bench_version + 1 WHERE id = NEW.pair_id
    RETURNING state, working_to_id INTO pair_state, version_id;
"""

UNSETTLED_DIFFERENCES = """
    SELECT 1 FROM bench_difference differs
      JOIN bench_stage built_at ON built_at.id = differs.stage_id
     WHERE differs.pair_id = {pair}
       AND (differs.state = 'open'
            OR (differs.state = 'undone' AND differs.source <> 'pattern' AND built_at.retired_at IS NULL AND NOT EXISTS (
                SELECT 1 FROM bench_covercheck made
                 WHERE made.id = differs.check_found_id AND made.withdrawn_at IS NOT NULL
            )))
"""
"""Differences that still stand: open, or to be undone while what was made is still there as it was.

A pattern is nothing made yet: the piece that is cut by it passes its own checks.
"""
