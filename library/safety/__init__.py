"""Cautions: small parts, hazards, allergens, adults. Each with its source; never a promise."""
