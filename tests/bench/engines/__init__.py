"""Search engines side by side: each answers the same question with the same parts of an answer."""
