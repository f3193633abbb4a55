"""Bench sheets in and out."""
