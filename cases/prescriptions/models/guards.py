"""What keeps a signed prescription as it was signed, in the database, whoever asks."""

import pgtrigger

from shared.guards import Guard, refuse

FROZEN = "signed_prescription_is_frozen"
BEGINS_AS_DRAFT = "a_prescription_begins_as_a_draft"
GIVES_WAY_TO_SIGNED = "a_version_gives_way_to_a_signed_one"
FOLLOWS = "a_new_version_follows_its_own"
PRESCRIBER_SIGNS = "only_a_prescriber_signs"
SIGNS_FOR_ONESELF = "nobody_signs_for_another"
LAST_OF_ITS_FOOT = "a_foot_has_its_own_last"
LAST_MAY_BE_USED = "a_shoe_is_built_on_a_last_that_may_be_used"


_FROZEN_SQL = refuse(FROZEN, "A signed prescription is not changed: write a new version.")

_BEGINS_AS_A_DRAFT_THAT_FOLLOWS_ITS_OWN = f"""
    IF TG_OP = 'INSERT' AND NEW.status <> 'draft' THEN
        {refuse(BEGINS_AS_DRAFT, "A prescription begins as a draft.")}
    END IF;
    IF NEW.supersedes_id IS NOT NULL AND NOT EXISTS (
        SELECT 1 FROM prescriptions_prescription
         WHERE id = NEW.supersedes_id AND patient_id = NEW.patient_id AND number = NEW.number
           AND version_no < NEW.version_no AND status <> 'draft'
    ) THEN
        {refuse(FOLLOWS, "A new version follows a signed version of the same prescription.")}
    END IF;
    IF TG_OP = 'INSERT' THEN RETURN NEW; END IF;
"""

_IS_SIGNED_BY_A_PRESCRIBER_THEMSELVES = f"""
    IF NEW.status = 'signed' AND NOT EXISTS (
        SELECT 1 FROM staff_person WHERE id = NEW.signed_by_id AND may_prescribe AND retired_on IS NULL
    ) THEN
        {refuse(PRESCRIBER_SIGNS, "Only a person who may prescribe can sign.")}
    END IF;
    IF NEW.status = 'signed' AND NOT EXISTS (
        SELECT 1 FROM shared_deed JOIN staff_person ON staff_person.uuid = shared_deed.who_uuid
         WHERE shared_deed.id = NULLIF(current_setting('pairwright.deed', true), '')::bigint
           AND staff_person.id = NEW.signed_by_id
    ) THEN
        {refuse(SIGNS_FOR_ONESELF, "A prescription is signed by the person whose deed it is.")}
    END IF;
"""


_IS_BUILT_ON_A_LAST_THAT_MAY_BE_USED = f"""
    IF NEW.status = 'signed' AND NEW.work IN ('new', 'repeat') AND EXISTS (
        SELECT 1 FROM prescriptions_foot JOIN lasts_last ON lasts_last.id = prescriptions_foot.last_id
         WHERE prescriptions_foot.prescription_id = NEW.id AND lasts_last.not_used_because <> ''
    ) THEN
        {refuse(LAST_MAY_BE_USED, "A last of this prescription is marked not to be used.")}
    END IF;
"""


def prescription_is_frozen() -> Guard:
    """Once signed, a version only moves on: to superseded (by a draft that follows it) or withdrawn.

    Who signs may prescribe, works here, and is the person whose deed it is. What is built here is built on lasts that
    may be used on the day it is signed.
    """
    return Guard(
        name=FROZEN,
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        func=f"""
            IF TG_OP = 'DELETE' THEN
                IF OLD.status <> 'draft' THEN {_FROZEN_SQL} END IF;
                RETURN OLD;
            END IF;
            {_BEGINS_AS_A_DRAFT_THAT_FOLLOWS_ITS_OWN}
            IF OLD.status = 'draft' THEN
                IF NEW.status = 'superseded' THEN {_FROZEN_SQL} END IF;
                {_IS_SIGNED_BY_A_PRESCRIBER_THEMSELVES}
                {_IS_BUILT_ON_A_LAST_THAT_MAY_BE_USED}
                RETURN NEW;
            END IF;
            IF to_jsonb(NEW) = to_jsonb(OLD) THEN RETURN NEW; END IF;
            IF OLD.status = 'signed' AND (to_jsonb(NEW) - 'status') = (to_jsonb(OLD) - 'status') AND (
                NEW.status = 'withdrawn' OR (NEW.status = 'superseded' AND EXISTS (
                    SELECT 1 FROM prescriptions_prescription WHERE supersedes_id = OLD.id AND status = 'draft'
                ))
            ) THEN
                RETURN NEW;
            END IF;
            {_FROZEN_SQL}
        """,
    )


def gives_way_to_a_signed_version() -> Guard:
    """At the end of the transaction that supersedes a version, the one that follows it is signed.

    So there is always a version that the bench may take up: the signed one stands until the next is signed.
    """
    return Guard(
        name=GIVES_WAY_TO_SIGNED,
        when=pgtrigger.After,
        operation=pgtrigger.Update,
        timing=pgtrigger.Deferred,
        func=f"""
            IF NEW.status = 'superseded' AND NOT EXISTS (
                SELECT 1 FROM prescriptions_prescription WHERE supersedes_id = NEW.id AND signed_at IS NOT NULL
            ) THEN
                {refuse(GIVES_WAY_TO_SIGNED, "A version is superseded only by one that is signed.")}
            END IF;
            RETURN NULL;
        """,
    )


def part_is_frozen(parent: str) -> Guard:
    """A part of a prescription changes only while its version is a draft.

    `parent` is SQL that gives the prescription's id from `part`, a row of the guarded table. The version is locked,
    so that signing and a late change of a part cannot pass each other.
    """
    status_of = "SELECT status INTO version_status FROM prescriptions_prescription WHERE id = ({parent}) FOR SHARE;"
    return Guard(
        name="part_of_signed_is_frozen",
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        declare=[("version_status", "text")],
        func=f"""
            IF TG_OP <> 'INSERT' THEN
                {status_of.format(parent=parent.format(part="OLD"))}
                IF version_status IS DISTINCT FROM 'draft' THEN {_FROZEN_SQL} END IF;
            END IF;
            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF;
            {status_of.format(parent=parent.format(part="NEW"))}
            IF version_status IS DISTINCT FROM 'draft' THEN {_FROZEN_SQL} END IF;
            RETURN NEW;
        """,
    )


def part_of_a_foot_is_frozen() -> Guard:
    return part_is_frozen("SELECT prescription_id FROM prescriptions_foot WHERE id = {part}.foot_id")


def last_is_of_this_foot() -> Guard:
    """A LEFT shoe is built on a LEFT last, and on nobody else's: the client's own or one from stock."""
    sentence = "A shoe is built on a last of its own side, of this client or from stock."
    return Guard(
        name=LAST_OF_ITS_FOOT,
        when=pgtrigger.Before,
        operation=pgtrigger.Insert | pgtrigger.Update,
        func=f"""
            IF NEW.last_id IS NOT NULL AND NOT EXISTS (
                SELECT 1 FROM lasts_last, prescriptions_prescription version
                 WHERE lasts_last.id = NEW.last_id AND lasts_last.side = NEW.side
                   AND version.id = NEW.prescription_id
                   AND (lasts_last.owner_id IS NULL OR lasts_last.owner_id = version.patient_id)
            ) THEN
                {refuse(LAST_OF_ITS_FOOT, sentence)}
            END IF;
            RETURN NEW;
        """,
    )
