"""The steps from one form of the private database to the next."""
