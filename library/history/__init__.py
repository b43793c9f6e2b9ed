"""Every version of every file of the library folder, kept in the data folder."""
