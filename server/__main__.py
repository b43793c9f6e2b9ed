"""``python -m server`` is the command ``lowshelf``."""

from server.cli import main

main()
