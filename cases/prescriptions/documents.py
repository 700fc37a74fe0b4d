"""The paper of a prescriber elsewhere as it is kept: a PDF as it came, a picture encoded anew from its pixels alone."""

from dataclasses import dataclass

from shared.photos import BadPhoto, kept_photo

MOST_BYTES = 15 * 1024 * 1024
PDF = "application/pdf"
JPEG = "image/jpeg"
TOO_LARGE = f"This document is larger than {MOST_BYTES // 1024 // 1024} MB. Scan it at a smaller size."
NO_DOCUMENT = "This is no PDF, JPEG or PNG that can be read."
HEAD_BYTES = 1024
"""A PDF says what it is at its very beginning; readers allow so much before it."""


class BadDocument(ValueError):
    """A file that is not kept. The message is a sentence for the screen."""


@dataclass(frozen=True)
class KeptDocument:
    """What is kept of a file that came."""

    content: bytes
    content_type: str


def kept_document(content: bytes) -> KeptDocument:
    """The document as it is kept, told by its content alone. Raises `BadDocument`."""
    if len(content) > MOST_BYTES:
        raise BadDocument(TOO_LARGE)
    if b"%PDF-" in content[:HEAD_BYTES]:
        if b"%%EOF" not in content[-HEAD_BYTES:]:
            raise BadDocument("This PDF breaks off before its end. Send it again.")
        return KeptDocument(content, PDF)
    try:
        return KeptDocument(kept_photo(content), JPEG)
    except BadPhoto as error:
        raise BadDocument(NO_DOCUMENT) from error
