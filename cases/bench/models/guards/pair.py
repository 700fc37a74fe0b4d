"""A pair: opened from a signed version, moved on only to a later signed one, finished only when all is done."""

import pgtrigger

from cases.bench.models.guards.sql import UNSETTLED_DIFFERENCES
from shared.guards import Guard, refuse

_MOVES = "('open', 'finished'), ('open', 'closed'), ('finished', 'open'), ('finished', 'handed over')"


def pair_moves_by_its_rules() -> Guard:
    """Guards the version a pair is built to, its promised day and its state."""
    return Guard(
        name="pair_moves_by_its_rules",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=[
            ("given", "text[] := ARRAY['working_to_id', 'promised_day', 'state', 'finished_at', 'bench_version']"),
            ("version_patient", "bigint"),
            ("version_number", "integer"),
            ("version_status", "text"),
            ("version_feet", "text"),
        ],
        func=f"""
            IF TG_OP = 'DELETE' THEN
                {refuse("a_pair_is_closed_not_deleted", "A pair is closed, not deleted.")}
            END IF;
            IF TG_OP = 'INSERT' THEN
                IF NEW.state <> 'open' THEN
                    {refuse("a_pair_begins_open", "A pair begins on the bench.")}
                END IF;
                {_version_is_signed()}
                RETURN NEW;
            END IF;
            IF (NEW.working_to_id, NEW.promised_day, NEW.state) IS NOT DISTINCT FROM
               (OLD.working_to_id, OLD.promised_day, OLD.state)
               AND (to_jsonb(NEW) - given) = (to_jsonb(OLD) - given) THEN
                RETURN NEW;
            END IF;
            IF (to_jsonb(NEW) - given) <> (to_jsonb(OLD) - given) THEN
                {refuse("a_pair_stays_what_it_is", "Whose pair it is, and for which feet, is not changed.")}
            END IF;
            {_moves()}
            RETURN NEW;
        """,
    )


def _moves() -> str:
    """What a change of version, promised day or state is allowed by."""
    return f"""
        IF NEW.working_to_id IS DISTINCT FROM OLD.working_to_id THEN
            {_version_is_signed()}
            IF NOT EXISTS (
                SELECT 1 FROM prescriptions_prescription earlier
                 WHERE earlier.id = OLD.working_to_id AND earlier.number = version_number
            ) THEN
                {refuse("a_pair_follows_its_own_prescription", "A pair moves on to a version of its own prescription.")}
            END IF;
        END IF;
        IF NEW.promised_day <> OLD.promised_day AND NEW.promised_day IS DISTINCT FROM (
            SELECT day FROM bench_promise WHERE pair_id = NEW.id ORDER BY id DESC LIMIT 1
        ) THEN
            {refuse("a_promised_day_is_on_record", "A new promised day is put on record with its reason.")}
        END IF;
        IF NEW.state <> OLD.state THEN
            {_state_moves()}
        END IF;
    """


def _version_is_signed() -> str:
    return f"""
        IF NEW.working_to_id IS NOT NULL THEN
            SELECT status, patient_id, number, feet
              INTO version_status, version_patient, version_number, version_feet
              FROM prescriptions_prescription WHERE id = NEW.working_to_id FOR SHARE;
            IF version_status <> 'signed' THEN
                {refuse("a_pair_works_to_a_signed_version", "A pair is built to a signed prescription.")}
            END IF;
            IF version_patient <> NEW.patient_id OR version_feet <> NEW.feet THEN
                {refuse("a_pair_follows_its_own_prescription", "This prescription is for other feet.")}
            END IF;
        END IF;
    """


def _state_moves() -> str:
    return f"""
        IF (OLD.state, NEW.state) NOT IN ({_MOVES}) THEN
            {refuse("a_pair_moves_step_by_step", "A pair is finished before it is handed over.")}
        END IF;
        IF NEW.state = 'finished' AND (
            EXISTS (
                SELECT 1 FROM bench_stage WHERE pair_id = NEW.id AND retired_at IS NULL AND ticked_at IS NULL
            ) OR EXISTS (
                {UNSETTLED_DIFFERENCES.format(pair="NEW.id")}
            )
        ) THEN
            {refuse("a_finished_pair_has_nothing_open", "A stage or a difference of this pair is still open.")}
        END IF;
    """


def visit_is_of_the_same_client() -> Guard:
    """A visit about a pair is a visit of the pair's own client."""
    return Guard(
        name="visit_is_of_the_same_client",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update,
        func=f"""
            IF NOT EXISTS (
                SELECT 1 FROM bench_pair pair JOIN diary_visit visit ON visit.patient_id = pair.patient_id
                 WHERE pair.id = NEW.pair_id AND visit.id = NEW.visit_id
            ) THEN
                {refuse("a_visit_is_of_the_pairs_client", "This visit belongs to another client.")}
            END IF;
            RETURN NEW;
        """,
    )
