"""The commands, one module for those that work alike."""
