"""The key that signs sessions: from the environment, else made once and kept beside the data."""

import os
import secrets

from workshop.database import data_folder


def secret_key() -> str:
    """The signing key. Raises nothing: a missing key is made and kept, readable by its owner alone."""
    given = os.environ.get("PAIRWRIGHT_SECRET_KEY")
    if given:
        return given
    kept = data_folder() / "secret-key"
    if not kept.exists():
        kept.parent.mkdir(parents=True, exist_ok=True)
        try:
            descriptor = os.open(kept, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        except FileExistsError:
            return kept.read_text()
        with os.fdopen(descriptor, "w") as file:
            file.write(secrets.token_urlsafe(64))
    return kept.read_text()
