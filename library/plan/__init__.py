"""One unit with everything known about it at once: totals, findings, what a change would do."""
