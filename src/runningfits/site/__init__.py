"""Pages of the site."""
