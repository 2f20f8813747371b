"""A last close look at two versions before they are merged unasked, in a worker process."""

from __future__ import annotations

from assetlib.imaging.assembly import PicturePlan, seen
from assetlib.imaging.doubles.sameness import confirm_same_picture


def are_one(plans: tuple[PicturePlan, PicturePlan]) -> bool:
    """Whether two versions show the same picture beyond doubt. Raises BadPicture."""
    return confirm_same_picture(seen(plans[0]), seen(plans[1]))
