"""What is done once more after a fitting: the stages that come again, by kind of fitting and outcome.

A stage that a pair's route does not have is passed over. The sets are common practice, no source.
"""

LASTING = (
    "last-backs",
    "last-linings",
    "puff-on",
    "shape-puff",
    "last-foreparts",
    "sew-plug",
    "shell-check",
    "rough-fitting",
)
"""What is undone by lasting again. The checks of what is closed in there come again with it."""

LAST = ("alter-last", "measure-last")
FROM_THE_PATTERN = ("patterns", "click", "close", "soak", "block-insole", "trim-insole", "scour-forepart")
UPPERS_AND_SHELL = (*FROM_THE_PATTERN, "cut-stiffeners", *LASTING)
BOTTOM = (
    "trim-margin",
    "welt",
    "shanks",
    "carbon",
    "filler",
    "raise",
    "sole",
    "trim-edges",
    "finish",
    "slip-last",
    "top-of-insole",
    "sock",
)
FINAL_CHECK = ("final-check", "adapt-final-check", "repair-final-check")

STAGES: dict[tuple[str, str], tuple[str, ...]] = {
    ("trial shoe", "alter"): LAST,
    ("trial shoe", "remake"): LAST,
    ("rough", "alter"): ("alter-last", *LASTING),
    ("rough", "remake"): ("alter-last", *UPPERS_AND_SHELL),
    ("final", "alter"): FINAL_CHECK,
    ("final", "remake"): ("alter-last", *UPPERS_AND_SHELL, *BOTTOM, *FINAL_CHECK),
}
"""By kind of fitting and outcome."""


def stages_again(*, kind: str, outcome: str) -> tuple[str, ...]:
    """The keys of the stages that come again; none after "accept"."""
    return STAGES.get((kind, outcome), ())
