"""Tables of readings: verdicts on millions of them, batch by batch."""
