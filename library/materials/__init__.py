"""What things are like: names, sizes, measures, words and where they come from.

Belongs here: ``materials.yaml``, amounts and shapes as people write them. How many are needed
is ``supplies``; what a shape means for a child is ``safety``.
"""
