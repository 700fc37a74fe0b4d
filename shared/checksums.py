"""A kept file and its hash, held together by the database."""

from django.db.models import BinaryField, CharField, CheckConstraint, F, Func, Value
from django.db.models.lookups import Exact


class Sha256(Func):
    """PostgreSQL's own sha256 of bytes."""

    function = "sha256"
    output_field = BinaryField()


class Encode(Func):
    """Bytes written out as text, for instance in hexadecimal digits."""

    function = "encode"
    output_field = CharField()


def hash_check(name: str, *, of: str) -> CheckConstraint:
    """A constraint by which the column `sha256` holds the hash, in hexadecimal digits, of the bytes in column `of`."""
    return CheckConstraint(condition=Exact(F("sha256"), Encode(Sha256(F(of)), Value("hex"))), name=name)
