"""Quantities: what a unit needs, what is on hand, what to buy and by when."""
