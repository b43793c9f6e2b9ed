"""Who may do what, once the server listens beyond this machine."""
