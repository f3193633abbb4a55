"""The bench: from readings to verdicts."""
