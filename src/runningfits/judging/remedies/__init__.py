"""What to do about what is out: a search over what the data and the build allow."""
