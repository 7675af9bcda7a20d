"""Nothing lost: saving, states saved before, how they differ, and putting two together."""
