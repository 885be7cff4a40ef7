"""What a sum raises when it has no answer."""


class SumError(ValueError):
    """The sum has no answer for these figures: what about them makes it so.

    A mistake in the figures, never one in the sum: whoever knows where they were written tells it there.
    Any other exception out of a sum is a fault of the program.
    """


def above_zero(name: str, value: float) -> None:
    """Raise SumError for a figure of this name that is not above zero, or no number."""
    if not value > 0:
        raise SumError(f"{name} must be above zero, not {value!r}")
