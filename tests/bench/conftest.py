"""Settings of the bench tests."""

from hypothesis import settings

# a busy machine may stall any one example
settings.register_profile("bench", deadline=None)
settings.load_profile("bench")
