"""Three people on their whole way, step by step: `studies/journeys.py` times the steps that the tests run."""
