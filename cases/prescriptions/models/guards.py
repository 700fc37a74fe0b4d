"""What keeps a signed prescription as it was signed, in the database, whoever asks."""

import pgtrigger

from shared.guards import Guard, refuse

FROZEN = "signed_prescription_is_frozen"


def prescription_is_frozen() -> Guard:
    """Once signed, a version only moves on: to superseded or withdrawn. Nothing else changes, ever."""
    frozen = refuse(FROZEN, "A signed prescription is not changed: write a new version.")
    unsigned = refuse("only_a_prescriber_signs", "Only a person who may prescribe can sign.")
    return Guard(
        name=FROZEN,
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        func=f"""
            IF TG_OP = 'INSERT' THEN
                IF NEW.status <> 'draft' THEN
                    {refuse("a_prescription_begins_as_a_draft", "A prescription begins as a draft.")}
                END IF;
                RETURN NEW;
            END IF;
            IF TG_OP = 'DELETE' THEN
                IF OLD.status <> 'draft' THEN {frozen} END IF;
                RETURN OLD;
            END IF;
            IF OLD.status = 'draft' THEN
                IF NEW.status = 'signed' AND NOT EXISTS (
                    SELECT 1 FROM staff_person
                     WHERE id = NEW.signed_by_id AND may_prescribe AND retired_on IS NULL
                ) THEN {unsigned} END IF;
                IF NEW.status = 'superseded' THEN {frozen} END IF;
                RETURN NEW;
            END IF;
            IF OLD.status = 'signed' AND NEW.status IN ('superseded', 'withdrawn')
               AND (to_jsonb(NEW) - 'status') = (to_jsonb(OLD) - 'status') THEN
                RETURN NEW;
            END IF;
            IF to_jsonb(NEW) = to_jsonb(OLD) THEN RETURN NEW; END IF;
            {frozen}
        """,
    )


def part_is_frozen(parent: str) -> Guard:
    """A part of a prescription changes only while its version is a draft.

    `parent` is SQL that gives the prescription's id from `part`, a row of the guarded table. The version is locked,
    so that signing and a late change of a part cannot pass each other.
    """
    old_parent, new_parent = parent.format(part="OLD"), parent.format(part="NEW")
    return Guard(
        name="part_of_signed_is_frozen",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=[("version_status", "text")],
        func=f"""
            IF TG_OP <> 'INSERT' THEN
                SELECT status INTO version_status FROM prescriptions_prescription
                 WHERE id = ({old_parent}) FOR SHARE;
                IF version_status <> 'draft' THEN
                    {refuse(FROZEN, "A signed prescription is not changed: write a new version.")}
                END IF;
            END IF;
            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF;
            SELECT status INTO version_status FROM prescriptions_prescription
             WHERE id = ({new_parent}) FOR SHARE;
            IF version_status <> 'draft' THEN
                {refuse(FROZEN, "A signed prescription is not changed: write a new version.")}
            END IF;
            RETURN NEW;
        """,
    )


def part_of_a_foot_is_frozen() -> Guard:
    return part_is_frozen("SELECT prescription_id FROM prescriptions_foot WHERE id = {part}.foot_id")
