"""From which size a story has a shape to look at."""

SHAPE_FROM_LINES = 6
"""A first sketch of fewer lines is not told off for what it still lacks."""
