"""What a plan comes to, in the words of screens."""

from squarewright._core import Plan


def weak_counts(plan: Plan) -> dict[str, int]:
    """Count the weak spots of each kind that a plan has.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    dict of str to int
        Kinds that there are; none for a square that stays whole.
    """
    counts = plan.summary["weak_spots"].items()
    # Those that may snap are among the thin ones.
    return {key.replace("_", " "): count for key, count in counts if count and key != "may_snap"}


def weak_words(plan: Plan) -> str:
    """Say how many weak spots of each kind a plan has; nothing when there are none."""
    counts = weak_counts(plan).items()
    return ", ".join(f"{count} {word if count > 1 else word.removesuffix('s')}" for word, count in counts)
