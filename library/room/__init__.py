"""A room: children, adults, day, prep windows, stock, jots. Values, and the private database.

Everything about children stays here and in the data folder, never in the library folder.
"""
