"""What cannot be put on paper; in a file of its own, for whoever asks about a paper without drawing it."""


class PaperError(Exception):
    """Something cannot be put on paper as it stands; the message says what and why."""


class TemplateError(PaperError):
    """A template is broken; the message is file:line and what is wrong."""
