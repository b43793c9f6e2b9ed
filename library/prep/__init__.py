"""Preparing: steps, windows, and a schedule that starts as late as it can."""
