"""The fault of input that cannot be used at all."""


class UnusableError(Exception):
    """A folder that is no dataset."""
