"""What a page says."""

import re
from typing import Any


def words_of(response: Any) -> str:
    """What a page says, on one line, without its head."""
    body = response.content.decode().split("<main", 1)[1]
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body))
