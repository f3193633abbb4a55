"""From readings to verdicts."""
