"""One module for each command; ``server.cli.COMMANDS`` lists them."""
