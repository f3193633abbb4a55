"""`python -m runningfits` is the command."""

from .cli import main

main()
