"""Files on disk: atomic writes, locks, paths, watching, front matter and what is wrong with a file.

Belongs here: everything about a file that is true whatever the file says.
"""
