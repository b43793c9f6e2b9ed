"""Measures; nothing here passes or fails."""
