"""One module for each step; ``down_revision`` names the step before."""
