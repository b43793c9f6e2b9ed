"""Search: the index, reading a question in plain English, counts, snippets, similar cards.

Knows neither room nor units; what a room owns comes in as a plain argument.
"""
