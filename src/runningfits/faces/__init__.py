"""A result and a blank sheet as people see them."""
