"""Lowshelf's domain: activity cards, themes, units, and the arithmetic behind them.

Nothing here knows the web. Each package is one thing a teacher would name and can be
read alone; the arrows between packages are held by the import contracts in
``pyproject.toml``.
"""

__version__ = "0.1.0"
