"""Themes and units: placements on a calendar, dressing, cloning, look-back, and findings as values."""
