"""What a sum raises when it has no answer."""


class SumError(ValueError):
    """The sum has no answer for these figures: what about them makes it so.

    A mistake in the figures, never one in the sum: whoever knows where they were written tells it there.
    Any other exception out of a sum is a fault of the program.
    """
