"""Invented readings to practise on, with their key."""
