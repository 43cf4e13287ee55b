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
    if "cut" not in plan.stages:
        return {}
    spots = plan.weak_spots
    counts = {
        "corner joints": len(spots.corner_joints),
        "loose parts": max(len(spots.islands) - 1, 0),
        "thin parts": len(spots.necks),
        "narrow gaps": len(spots.slots),
        "small holes": len(spots.pinholes),
    }
    return {word: count for word, count in counts.items() if count}


def weak_words(plan: Plan) -> str:
    """Say how many weak spots of each kind a plan has; nothing when there are none."""
    counts = weak_counts(plan).items()
    return ", ".join(f"{count} {word if count > 1 else word.removesuffix('s')}" for word, count in counts)
