"""Readers of a question, one module for each kind of condition.

A reader is a function from a :class:`~library.search.readers.text.Text` and a vocabulary to what it
found. It looks at each word a bounded number of times and never reads a word that another reader
has taken. Which readers there are, and in which order, stands in ``library.search.question``.
"""
