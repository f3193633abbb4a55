"""The published form of the dataset."""
